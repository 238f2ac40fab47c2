import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { parseConfig } from '../words/config-file.ts';

/** Looking a zone up is far cheaper than making a format for it; only older names of one are not listed. */
const LISTED = new Set(Intl.supportedValuesOf('timeZone'));

const isZone = (zone: string): boolean => {
  if (LISTED.has(zone)) return true;
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
};

const countrySchema = z.strictObject({
  emergency: z.array(z.string().regex(/^\d{2,6}$/)).min(1),
  source: z.enum(['eu', 'memory']),
  currency: z.string().regex(/^[A-Z]{3}$/),
  also: z.array(z.string()).default([]),
  regions: z.array(z.string().min(1)).default([]),
  zones: z.record(z.string().refine(isZone, 'is no time zone of this computer'), z.array(z.string())).refine((zones) => Object.keys(zones).length > 0, 'needs a zone'),
});

const schema = z.strictObject({ countries: z.record(z.string().regex(/^[A-Z]{2}$/), countrySchema) });

export type Country = z.infer<typeof countrySchema>;
/** By their ISO 3166 code, in the order of the file. */
export type Countries = ReadonlyMap<string, Country>;

export const parseCountries = (text: string, file: string): Countries => new Map(Object.entries(parseConfig(schema, text, file).countries));

export const readCountries = (file: string): Countries => parseCountries(readFileSync(file, 'utf8'), file);

/** `Spain`, in the reader's language. */
export const countryName = (code: string, locale: string): string => new Intl.DisplayNames(locale, { type: 'region' }).of(code) ?? code;
