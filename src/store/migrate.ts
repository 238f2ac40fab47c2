import { sql, type Kysely } from 'kysely';
import { start } from './migrations/001-start.ts';
import { cards } from './migrations/010-cards.ts';
import { faults } from './migrations/020-faults.ts';
import { bookings } from './migrations/030-bookings.ts';
import { visits } from './migrations/031-visits.ts';
import { seals } from './migrations/040-seals.ts';
import { use } from './migrations/110-use.ts';
import { form } from './migrations/111-form.ts';
import { answering } from './migrations/120-answering.ts';
import { reckonedDangers } from './migrations/140-reckoned-dangers.ts';
import { stock } from './migrations/150-stock.ts';
import { shownLook } from './migrations/181-shown-look.ts';
import { doneAtVisit } from './migrations/182-done-at-visit.ts';
import { sealOrder } from './migrations/184-seal-order.ts';
import { rest } from './migrations/185-rest.ts';
import { hold } from './migrations/186-hold.ts';
import { region } from './migrations/187-region.ts';
import { orderShim } from './migrations/188-order-shim.ts';
import { caseState } from './migrations/189-case-state.ts';
import { wasOut } from './migrations/190-was-out.ts';
import { barSeen } from './migrations/183-bar-seen.ts';
import type { Migration } from './schema.ts';
import { StoreTrouble, type Store } from './store.ts';

const MIGRATIONS: readonly Migration[] = [start, cards, faults, bookings, visits, seals, use, form, answering, reckonedDangers, stock, shownLook, doneAtVisit, barSeen, sealOrder, rest, hold, region, orderShim, caseState, wasOut];

const appliedNames = async (db: Kysely<never>): Promise<readonly string[]> => {
  await sql`create table if not exists migration (name text primary key, at text not null default '')`.execute(db);
  const rows = await sql<{ name: string }>`select name from migration`.execute(db);
  return rows.rows.map((row) => row.name);
};

/** Applies what is missing, each step in a transaction of its own. Throws StoreTrouble('newer') for steps it does not know. */
export const migrate = async (store: Store, migrations: readonly Migration[] = MIGRATIONS): Promise<void> => {
  const db = store.db as unknown as Kysely<never>;
  let applied: readonly string[];
  try {
    applied = await appliedNames(db);
  } catch (cause) {
    throw new StoreTrouble('unreadable', { cause });
  }
  const known = new Set(migrations.map((each) => each.name));
  if (applied.some((name) => !known.has(name))) throw new StoreTrouble('newer');
  for (const each of migrations.filter(({ name }) => !applied.includes(name)))
    await db.transaction().execute(async (tx) => {
      await each.up(tx);
      await sql`insert into migration (name) values (${each.name})`.execute(tx);
    });
};
