import { cafeById, type Technician } from '../cafe/records.ts';
import type { Here } from '../cafe/subject.ts';
import type { Tx } from '../store/store.ts';
import { instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import { bookingsWith, entriesOfPerson, type BookingRecord } from './records.ts';

/** A technician's visits on the next day that has any, in the order agreed. */
export type NextDay = { readonly rows: readonly BookingRecord[]; readonly entries: readonly Technician[]; readonly zone: string };

export const nextDay = async (tx: Tx, here: Here): Promise<NextDay> => {
  const entries = await entriesOfPerson(tx, here.by.id);
  const agreed = (await bookingsWith(tx, entries.map(({ id }) => id))).filter(({ starts_at, state }) => starts_at !== null && state !== 'here').toSorted((a, b) => (a.starts_at ?? 0) - (b.starts_at ?? 0));
  const first = agreed[0] && (await cafeById(tx, agreed[0].cafe));
  const zone = entries[0]?.zone ?? first?.zone ?? 'UTC';
  const date = agreed[0]?.starts_at == null ? undefined : dateAt(instant(agreed[0].starts_at), zone);
  return { rows: agreed.filter(({ starts_at }) => starts_at !== null && dateAt(instant(starts_at), zone) === date), entries, zone };
};
