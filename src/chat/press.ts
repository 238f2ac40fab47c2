/** What a button carries: what it means and the ids it needs, no state and no permission. */
export type Press = { readonly kind: string; readonly ids: readonly string[] };

const VERSION = '1';
const MOST = 100;

export const press = (kind: string, ...ids: readonly string[]): Press => ({ kind, ids });

/** The text a platform keeps in a button: `1~kind~id~id`, at most 100 characters. Throws RangeError when it does not fit. */
export const encodePress = ({ kind, ids }: Press): string => {
  const parts = [VERSION, kind, ...ids];
  if (parts.some((part) => part.includes('~'))) throw new RangeError(`a press may not hold "~": ${kind}`);
  const text = parts.join('~');
  if (text.length > MOST) throw new RangeError(`press too long (${text.length}): ${kind}`);
  return text;
};

/** Undefined for anything this version did not write. */
export const decodePress = (text: string): Press | undefined => {
  const [version, kind, ...ids] = text.split('~');
  return version === VERSION && kind ? { kind, ids } : undefined;
};

export const samePress = (a: Press, b: Press): boolean => encodePress(a) === encodePress(b);
