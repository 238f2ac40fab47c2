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

/** What the demo's server, channel, role and people are called on the platform it is shown on. */
export type DemoNames = { readonly space: string; readonly channel: string; readonly barRole: string; readonly person: (key: 'ola' | 'ana') => string };
const REHEARSAL: DemoNames = { space: 'lantern', channel: 'bar', barRole: 'bar', person: (key) => key };

const seedCafe = async (tx: Tx, id: string, now: Instant, names: DemoNames): Promise<void> => {
  await tx
    .insertInto('cafe')
    .values({
      id, name: 'Lantern Street', town: 'Valencia', country: 'ES', zone: 'Europe/Madrid', language: 'en', state: 'draft', space: names.space, place: channel(names.channel), bar_role: names.barRole,
      hours: writeWeek(WEEK), exceptions: writeExceptions([]), cleaning_before: 30, off_at_night: 'yes',
      switch_off: 'black switch under the till', emergency: '112', currency: 'EUR',
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

const seedPeople = async (tx: Tx, ids: Ids, cafe: string, now: Instant, names: DemoNames): Promise<void> => {
  const [ola, ana] = [personId(names.person('ola')), personId(names.person('ana'))];
  await tx.insertInto('member').values({ id: ids(now), cafe, person: ola, name: 'Ola', role: 'owner', language: 'en', direct_ok: 1, created_at: now }).execute();
  await tx
    .insertInto('technician')
    .values({ id: ids(now), cafe, position: 1, name: 'Ana', telephone: '555 0134', person: ana, place: direct(ana), zone: 'Europe/Madrid', language: 'en', state: 'linked', linked_at: now, created_at: now })
    .execute();
};

/**
 * An invented café to practise with, for the people of the rehearsal. Not known in it: the water, part of the prices,
 * the breaker. Returns its id; undefined, and nothing written, where there is a café already.
 */
export const seedDemo = async (tx: Tx, ids: Ids, now: Instant, onLive: Follow, names: DemoNames = REHEARSAL): Promise<string | undefined> => {
  if (await tx.selectFrom('cafe').select('id').limit(1).executeTakeFirst()) return undefined;
  const cafe = ids(now);
  await seedCafe(tx, cafe, now, names);
  await seedMachine(tx, ids, cafe, now);
  await seedPeople(tx, ids, cafe, now, names);
  await goLive(tx, ids, now, cafe, onLive);
  return cafe;
};
