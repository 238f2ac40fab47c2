import { z } from 'zod';

const pair = z.tuple([z.number().nullable(), z.number().nullable()]);

const schema = z.object({
  /** Bar, before and after; null where only one was read. */
  boiler: pair.optional(),
  pump: pair.optional(),
  /** Millilitres in ten seconds, by group from the left. */
  tenSeconds: z.array(z.number()).optional(),
  /** Clock hour of each handle when home, by group from the left, as written. */
  hours: z.array(z.string()).optional(),
  /** Lead of the ramps, mm a turn, by group from the left; a single one is of the group the visit was about. */
  leads: z.array(z.number()).optional(),
  /** Of the water that goes into the machine, mg CaCO3 a litre. */
  hardness: z.number().optional(),
  /** Safety tests that were made, as written. */
  tests: z.string().optional(),
  /** Date by which somebody should come again. */
  nextDue: z.string().optional(),
});

/** What a technician writes at the end beside the close-out. */
export type Report = z.output<typeof schema>;

export const readReport = (text: string): Report => schema.parse(JSON.parse(text));

const numbersIn = (text: string): readonly number[] => [...text.matchAll(/\d+(?:[.,]\d+)?/g)].map(([found]) => Number(found.replace(',', '.')));

/** "1.4, 1.1": before and after. One number alone is what it is now. */
export const pairIn = (text: string): readonly [number | null, number | null] | undefined => {
  const [first, second] = numbersIn(text);
  if (first === undefined) return undefined;
  return second === undefined ? [null, first] : [first, second];
};

/** Leads that a ramp can have, mm a turn; beyond them it is a slip of the pen. */
export type LeadRange = { readonly lowMm: number; readonly highMm: number };

/** "12" or "12, 11.5": undefined where a number cannot be a lead. */
export const leadsIn = (text: string, { lowMm, highMm }: LeadRange): readonly number[] | undefined => {
  const all = numbersIn(text);
  return all.length > 0 && all.every((mm) => mm >= lowMm && mm <= highMm) ? all : undefined;
};

export const numbersOf = (text: string): readonly number[] | undefined => {
  const all = numbersIn(text);
  return all.length > 0 ? all : undefined;
};

/** "5:30, 6" or "half past five; six", by group. */
export const hoursIn = (text: string): readonly string[] | undefined => {
  const parts = text.split(/[,;/]+|\s{2,}|\s+and\s+/).map((part) => part.trim()).filter((part) => part !== '');
  return parts.length > 0 ? parts.slice(0, 6) : undefined;
};

/** An amount as people write it, in the smallest unit of a currency; undefined when it is none. */
export const amountIn = (text: string, currency: string): number | undefined => {
  const digits = new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2;
  const found = /^[^\d-]*(\d{1,7}(?:[.,]\d{1,2})?)[^\d]*$/.exec(text.replace(/(\d)[\s'’](?=\d{3})/g, '$1'));
  return found ? Math.round(Number((found[1] ?? '').replace(',', '.')) * 10 ** digits) : undefined;
};

/** Keeps what was said before where nothing new is said. */
export const withReport = (before: Report, more: { readonly [key in keyof Report]: Report[key] | undefined }): Report => schema.parse({ ...before, ...Object.fromEntries(Object.entries(more).filter(([, value]) => value !== undefined)) });
