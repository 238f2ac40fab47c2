import { readFileSync } from 'node:fs';
import { z } from 'zod';
import type { CafeHours } from '../cafe/hours.ts';
import { parseConfig } from '../words/config-file.ts';
import { paceOf, type Counter, type Reading } from './use.ts';

const schema = z.strictObject({ coffees: z.number().positive(), litresPerCoffee: z.number().positive(), kgPerCoffee: z.number().positive() });

/** config/use.yaml: a day of a café that has said nothing, and what goes into a coffee. */
export type Usual = z.infer<typeof schema>;

export const readUsual = (file: string): Usual => parseConfig(schema, readFileSync(file, 'utf8'), file);

/** What is known of a café's use: its own figure for a day, and what its counters said. */
export type Known = { readonly coffeesDay: number | undefined; readonly readings: Readonly<Record<Counter, readonly Reading[]>> };

const coffeesOf = (usual: Usual, known: Known, cafe: CafeHours): number => paceOf(known.readings.coffees, cafe) ?? known.coffeesDay ?? usual.coffees;

/** Use on an open day: by that counter, else by the coffees, counted or said. */
export const perDayOf = (counter: Counter, usual: Usual, known: Known, cafe: CafeHours): number => {
  const counted = paceOf(known.readings[counter], cafe);
  if (counted !== undefined) return counted;
  const coffees = coffeesOf(usual, known, cafe);
  switch (counter) {
    case 'coffees':
      return coffees;
    case 'litres':
      return coffees * usual.litresPerCoffee;
    case 'kg':
      return coffees * usual.kgPerCoffee;
  }
};
