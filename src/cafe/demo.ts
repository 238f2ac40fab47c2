import { channel, direct, personId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { writeExceptions, writeWeek } from './calendar.ts';
import type { DaySpans, Week } from './hours.ts';
import { goLive, type Follow } from './live.ts';
import { writeMachineFacts } from './machine-facts.ts';
import { writeMoney } from './money.ts';

const OPEN: DaySpans = [{ from: 8 * 60, to: 22 * 60 + 30 }];
const WEEK: Week = { days: [[], OPEN, OPEN, OPEN, OPEN, OPEN, OPEN], holidays: OPEN };

const seedCafe = async (tx: Tx, id: string, now: Instant): Promise<void> => {
  await tx
    .insertInto('cafe')
    .values({
      id, name: 'Lantern Street', town: 'Valencia', country: 'ES', zone: 'Europe/Madrid', language: 'en', state: 'draft', space: 'lantern', place: channel('bar'), bar_role: 'bar',
      hours: writeWeek(WEEK), exceptions: writeExceptions([]), cleaning_before: 30, off_at_night: 'yes',
      switch_off: 'black switch under the till marked COFFEE', emergency: '112', currency: 'EUR',
      address: 'Lantern Street 12, Valencia', door: 'side door, ring twice, park in the yard', telephone: '555 0120',
      money: writeMoney({ callOut: 120, staffHour: 15, drinksDay: 180 }), loud_danger: 1, learn_together: 0, rev: 1, created_at: now,
    })
    .execute();
};

const seedMachine = async (tx: Tx, ids: Ids, cafe: string, now: Instant): Promise<void> => {
  const machine = ids(now);
  await tx
    .insertInto('machine')
    .values({ id: machine, cafe, groups: 2, kind: 'HX', lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains', contract: 'own', state: 'in use', facts: writeMachineFacts({ seal: 8 }), created_at: now })
    .execute();
  for (const number of [1, 2]) await tx.insertInto('machine_group').values({ id: ids(now), machine, number, state: 'in use', residue: 'clear' }).execute();
};

const seedPeople = async (tx: Tx, ids: Ids, cafe: string, now: Instant): Promise<void> => {
  await tx.insertInto('member').values({ id: ids(now), cafe, person: personId('ola'), name: 'Ola', role: 'owner', language: 'en', direct_ok: 1, created_at: now }).execute();
  await tx
    .insertInto('technician')
    .values({ id: ids(now), cafe, position: 1, name: 'Ana', telephone: '555 0134', person: personId('ana'), place: direct(personId('ana')), zone: 'Europe/Madrid', language: 'en', state: 'linked', linked_at: now, created_at: now })
    .execute();
};

/**
 * An invented café to practise with, for the people of the rehearsal. Not known in it: the water, part of the prices,
 * the breaker. Returns its id; undefined, and nothing written, where there is a café already.
 */
export const seedDemo = async (tx: Tx, ids: Ids, now: Instant, onLive: Follow): Promise<string | undefined> => {
  if (await tx.selectFrom('cafe').select('id').limit(1).executeTakeFirst()) return undefined;
  const cafe = ids(now);
  await seedCafe(tx, cafe, now);
  await seedMachine(tx, ids, cafe, now);
  await seedPeople(tx, ids, cafe, now);
  await goLive(tx, ids, now, cafe, onLive);
  return cafe;
};
