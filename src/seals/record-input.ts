import { parseDates } from '../cafe/parse-dates.ts';
import { fromDay, toDay, type LocalDate } from '../time/local-date.ts';

/** What somebody wrote about a seal that went in. */
export type SealInput = {
  readonly sizeMm: number;
  readonly shimMm: number;
  /** The date it went in; null: not known. */
  readonly date: LocalDate | null;
  readonly outsideMm: number | null;
  readonly insideMm: number | null;
  readonly profile: string | null;
  readonly material: 'rubber' | 'silicone' | null;
  readonly sideUp: 'up' | 'down' | null;
};

export type InputProblem = 'size' | 'shim' | 'date' | 'date-ahead' | 'measures';
export type ReadInput = { readonly ok: true; readonly input: SealInput } | { readonly ok: false; readonly problem: InputProblem };

/** Thinnest and thickest seals and shims that are believed; outside them it is a slip of the pen. */
const SIZE = { least: 3, most: 12 } as const;
const SHIM = { least: 0, most: 3 } as const;
const ACROSS = { least: 30, most: 110 } as const;

const inside = (value: number, { least, most }: { readonly least: number; readonly most: number }): boolean => value >= least && value <= most;

/** `8`, `8.5 mm`, `8,5`; undefined for anything else. */
export const parseMm = (text: string): number | undefined => {
  const found = /^(\d{1,3}(?:[.,]\d{1,2})?)\s*(?:mm)?\.?$/i.exec(text.trim());
  return found?.[1] === undefined ? undefined : Number(found[1].replace(',', '.'));
};

const NONE = /^(no|none|0|-|without|not known|unknown|\?)$/i;

/** Millimetres of a shim, 0 for none; undefined for what is no shim. */
export const parseShim = (text: string): number | undefined => {
  const mm = text.trim() === '' || NONE.test(text.trim()) ? 0 : parseMm(text);
  return mm !== undefined && inside(mm, SHIM) ? mm : undefined;
};

const AGO = 364;

/** `today`, `yesterday`, `3 July`, `2026-07-03`: a day in the year gone by, or the year that was written. */
export const parsePastDate = (text: string, today: LocalDate, locale: string): LocalDate | 'ahead' | undefined => {
  const plain = text.trim();
  if (/^today$/i.test(plain)) return today;
  if (/^yesterday$/i.test(plain)) return fromDay(toDay(today) - 1);
  const found = parseDates(plain, fromDay(toDay(today) - AGO), locale);
  if (!found || found.from !== found.to || /^tomorrow$/i.test(plain)) return undefined;
  return toDay(found.from) > toDay(today) ? 'ahead' : found.from;
};

type Measures = Pick<SealInput, 'outsideMm' | 'insideMm' | 'profile'>;

/** `73 x 57 mm, bevel`: across outside and inside, and what else is said of its shape. */
export const parseMeasures = (text: string): Measures | undefined => {
  const plain = text.trim();
  if (plain === '') return { outsideMm: null, insideMm: null, profile: null };
  const found = /^(\d{2,3}(?:[.,]\d)?)\s*(?:mm)?\s*[x×*/]\s*(\d{2,3}(?:[.,]\d)?)\s*(?:mm)?[\s,;]*(.*)$/i.exec(plain);
  if (!found) return /\d/.test(plain) ? undefined : { outsideMm: null, insideMm: null, profile: plain };
  const [one, other] = [found[1], found[2]].map((each) => Number((each ?? '').replace(',', '.'))) as [number, number];
  const [outsideMm, insideMm] = [Math.max(one, other), Math.min(one, other)];
  return inside(outsideMm, ACROSS) && inside(insideMm, ACROSS) && outsideMm > insideMm ? { outsideMm, insideMm, profile: found[3] === undefined || found[3] === '' ? null : found[3] } : undefined;
};

const fail = (problem: InputProblem): ReadInput => ({ ok: false, problem });

/** The answers of the form; what is left empty is not known, a seal without a shim has none. */
export const readSealForm = (answers: Readonly<Record<string, readonly string[]>>, today: LocalDate, locale: string): ReadInput => {
  const said = (key: string): string => (answers[key]?.[0] ?? '').trim();
  const sizeMm = parseMm(said('size'));
  if (sizeMm === undefined || !inside(sizeMm, SIZE)) return fail('size');
  const shimMm = parseShim(said('shim'));
  if (shimMm === undefined) return fail('shim');
  const when = said('when');
  const date = when === '' || NONE.test(when) ? null : parsePastDate(when, today, locale);
  if (date === undefined) return fail('date');
  if (date === 'ahead') return fail('date-ahead');
  const measures = parseMeasures(said('measures'));
  if (!measures) return fail('measures');
  const [material, side] = said('kind').split('.');
  return {
    ok: true,
    input: { sizeMm, shimMm, date, ...measures, material: material === 'rubber' || material === 'silicone' ? material : null, sideUp: side === 'up' || side === 'down' ? side : null },
  };
};
