import type { Insertable, Selectable } from 'kysely';
import { readMoney } from '../cafe/money.ts';
import type { Cafe } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import type { CounterReadingRow } from '../store/tables/routine.ts';
import { instant } from '../time/instant.ts';
import type { Counter, Reading } from './use.ts';
import type { Known } from './usual.ts';

export type CounterReading = Selectable<CounterReadingRow>;

export const insertReading = async (tx: Tx, row: Insertable<CounterReadingRow>): Promise<void> => {
  await tx.insertInto('counter_reading').values(row).execute();
};

export const readingById = async (tx: Tx, id: string): Promise<CounterReading | undefined> => tx.selectFrom('counter_reading').selectAll().where('id', '=', id).executeTakeFirst();

export const setReading = async (tx: Tx, id: string, change: Partial<Insertable<CounterReadingRow>>): Promise<void> => {
  await tx.updateTable('counter_reading').set(change).where('id', '=', id).execute();
};

/** Readings that count, oldest first. */
export const readingsOf = async (tx: Tx, cafe: string): Promise<readonly CounterReading[]> =>
  tx.selectFrom('counter_reading').selectAll().where('cafe', '=', cafe).where('state', '=', 'counts').orderBy('at').orderBy('id').execute();

const as = (rows: readonly CounterReading[], counter: Counter, machine: string | null): readonly Reading[] =>
  rows.filter((row) => row.counter === counter && (machine === null || row.machine === null || row.machine === machine)).map(({ at, value, anew }) => ({ at: instant(at), value, anew: anew === 1 }));

/** What is known of the use of one machine, or of what the café has once; a day's coffees are shared by its machines. */
export const knownUse = (cafe: Cafe, rows: readonly CounterReading[], machine: string | null, machines: number): Known => {
  const day = readMoney(cafe.money).drinksDay;
  return {
    coffeesDay: day === undefined ? undefined : machine === null ? day : day / Math.max(1, machines),
    readings: { coffees: as(rows, 'coffees', machine), litres: as(rows, 'litres', machine), kg: as(rows, 'kg', machine) },
  };
};
