/**
 * Minutes past midnight of a time of day as people write it: `14:02`, `2.02 pm`, `14`, `1402`, `2pm`. Undefined when it
 * is none.
 */
export const parseClock = (text: string): number | undefined => {
  const found = /^\s*(?:it'?s\s+|at\s+)?(\d{1,2})(?:\s*[:.h]\s*(\d{2})|(\d{2}))?\s*(?:h|uhr|o'?clock)?\s*(am|pm|a\.m\.|p\.m\.)?\s*\.?\s*$/i.exec(text);
  if (!found) return undefined;
  const hour = Number(found[1]);
  const minute = Number(found[2] ?? found[3] ?? 0);
  const half = found[4]?.toLowerCase().replaceAll('.', '');
  if (minute > 59 || hour > 23 || (half !== undefined && (hour < 1 || hour > 12))) return undefined;
  return (half === undefined ? hour : (hour % 12) + (half === 'pm' ? 12 : 0)) * 60 + minute;
};
