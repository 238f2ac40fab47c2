import { readParts } from '../../src/bookings/bring.ts';
import { readCatalogue } from '../../src/faults/catalogue-read.ts';
import { sealPart } from '../../src/parts/seal-part.ts';
import type { Cause, Trade } from './kit-simulation.ts';

/** Fewer causes than this under a complaint leave nothing to plan. */
const LEAST_CAUSES = 3;

/**
 * The trade as config/parts.yaml and config/faults know it: which parts end which cause and what they are worth, and how
 * often each cause stands behind a complaint. Causes nobody with tools mends are left out, their share with them.
 */
export const bookTrade = (): Trade => {
  const book = readParts('config/parts.yaml');
  const catalogue = readCatalogue('config/faults');
  const seals = Object.entries(book.sealSizes).map(([size, chance]) => ({ part: sealPart(Number(size)), chance }));
  const partsOf = (cause: string): Cause['parts'] | undefined => {
    const parts = book.parts[cause];
    if (parts === undefined) return undefined;
    return parts === 'none' ? [] : parts === 'workshop' ? 'none fits' : parts.includes('seal') ? 'seal' : parts;
  };
  const symptoms = [...new Set(catalogue.causes.flatMap(({ shows }) => Object.keys(shows)))].map((symptom) => {
    const causes = catalogue.causes.flatMap(({ id, shows }) => {
      const parts = partsOf(id);
      return shows[symptom] === undefined || parts === undefined ? [] : [{ share: shows[symptom], parts }];
    });
    const all = causes.reduce((sum, { share }) => sum + share, 0);
    return causes.map(({ share, parts }): Cause => ({ share: share / all, parts }));
  }).filter((causes) => causes.length >= LEAST_CAUSES);
  return {
    symptoms, sizes: seals.map(({ part }) => part), usualSizes: seals.map(({ chance }) => chance),
    values: new Map([...Object.entries(book.values), ...seals.map(({ part }) => [part, book.values['seal'] ?? 0] as const)]),
  };
};
