import { hardness, type Hardness, type HardnessUnit } from './hardness.ts';

/** How the units are written on strips, drops and labels. */
const UNITS: readonly (readonly [RegExp, HardnessUnit])[] = [
  [/^°?\s*(?:dh|d|dkh|kh|gh|german\b.*)$/, 'german'],
  [/^°?\s*(?:fh|tH|f|french\b.*)$/i, 'french'],
  [/^°?\s*(?:eh|e|clark|english\b.*)$/, 'english'],
  [/^ppm$/, 'ppm'],
  [/^mg\s*(?:\/|per)\s*l(?:it(?:re|er))?$/, 'mg/L'],
  [/^mmol\s*(?:\/|per)\s*l$/, 'mmol/L'],
  [/^meq\s*(?:\/|per)\s*l$/, 'meq/L'],
  [/^(?:gpg|grains?\b.*)$/, 'grains/US gal'],
];

/** Above this it is no tap water but a slip of the pen; assumed. */
const MOST = 2000;

/** "12 dH", "20°fH", "210 ppm". A number without its unit is undefined: it could be three different waters. */
export const hardnessIn = (text: string): Hardness | undefined => {
  const found = /^(\d{1,4}(?:[.,]\d{1,2})?)\s*(.+?)\.?$/.exec(text.trim().toLowerCase());
  const unit = UNITS.find(([pattern]) => pattern.test((found?.[2] ?? '').trim()))?.[1];
  if (!found || unit === undefined) return undefined;
  const water = hardness(Number((found[1] ?? '').replace(',', '.')), unit);
  return water <= MOST ? water : undefined;
};
