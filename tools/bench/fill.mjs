// Fills an embedded database with cafés and duties, as quickly as the database can.
import Database from 'better-sqlite3';
import { join } from 'node:path';
import pg from 'pg';
import { openStore } from '../../dist/store/open.js';

const HOURS = JSON.stringify({ days: Array.from({ length: 7 }, () => [{ from: 480, to: 1350 }]), holidays: [] });
const ZONES = ['Europe/Madrid', 'Europe/London', 'America/New_York', 'Australia/Sydney', 'Asia/Tokyo', 'America/Sao_Paulo'];
const JOBS = ['opening-round', 'backflush', 'brush-seals', 'soak-baskets', 'wands-tray', 'screens', 'seal-look', 'water-test', 'grinder-clean', 'hardness-test', 'hoses-drain', 'softener'];

/** `due` of the duties (by index) are due at `at`; all others a day later. */
export const fill = async (folder, cafes, due, at) => {
  await (await openStore({ folder })).close();
  const db = new Database(join(folder, 'grouphand.sqlite'));
  db.pragma('synchronous = off');
  const cafe = db.prepare("insert into cafe (id, name, town, zone, language, state, hours, exceptions, cleaning_before, place, money, loud_danger, learn_together, rev, created_at) values (?, ?, 'Town', ?, 'en', 'live', ?, '[]', 30, ?, '{}', 0, 0, 0, 0)");
  const duty = db.prepare("insert into duty (id, cafe, job, rrule, start_date, moment, on_closed, next_due, active, switched_off, rev, created_at) values (?, ?, ?, 'FREQ=DAILY', '2026-01-01', ?, 'skip', ?, 1, 0, 0, 0)");
  const moment = JSON.stringify({ kind: 'at-closing' });
  db.transaction(() => {
    for (let c = 0; c < cafes; c++) {
      const id = `c${String(c).padStart(7, '0')}`;
      cafe.run(id, `Café ${c}`, ZONES[c % ZONES.length], HOURS, `c.${c}`);
      for (let j = 0; j < JOBS.length; j++) duty.run(`d${String(c).padStart(7, '0')}${String(j).padStart(2, '0')}`, id, JOBS[j], moment, due(c, j) ? at : at + 86_400_000 + c);
    }
  })();
  db.exec('analyze');
  db.close();
  return openStore({ folder });
};

/** The same in an empty schema of a server; duties 1 to 4 of the first `dueCafes` are due at `at`. Returns the store and what takes the schema away again. */
export const fillServer = async (url, cafes, dueCafes, at) => {
  const schema = `bench_${process.pid}_${Date.now().toString(36)}`;
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  await client.query(`create schema ${schema}`);
  const own = `${url}${url.includes('?') ? '&' : '?'}options=${encodeURIComponent(`-c search_path=${schema}`)}`;
  await (await openStore({ url: own })).close();
  await client.query(`set search_path to ${schema}`);
  await client.query(`insert into cafe (id, name, town, zone, language, state, hours, exceptions, cleaning_before, place, money, loud_danger, learn_together, rev, created_at)
    select 'c' || lpad(c::text, 7, '0'), 'Café ' || c, 'Town', ($1::text[])[1 + c % ${ZONES.length}], 'en', 'live', $2, '[]', 30, 'c.' || c, '{}', 0, 0, 0, 0 from generate_series(0, $3::int - 1) c`, [ZONES, HOURS, cafes]);
  await client.query(`insert into duty (id, cafe, job, rrule, start_date, moment, on_closed, next_due, active, switched_off, rev, created_at)
    select 'd' || lpad(c::text, 7, '0') || lpad(j::text, 2, '0'), 'c' || lpad(c::text, 7, '0'), ($1::text[])[1 + j], 'FREQ=DAILY', '2026-01-01', '{"kind":"at-closing"}', 'skip',
    case when c < $3::int and j between 1 and 4 then $4::bigint else $4::bigint + 86400000 + c end, 1, 0, 0, 0 from generate_series(0, $2::int - 1) c, generate_series(0, ${JOBS.length - 1}) j`, [JOBS, cafes, dueCafes, at]);
  await client.query('analyze');
  await client.end();
  const drop = async () => {
    const last = new pg.Client({ connectionString: url });
    await last.connect();
    await last.query(`drop schema ${schema} cascade`);
    await last.end();
  };
  return { store: await openStore({ url: own }), drop };
};
