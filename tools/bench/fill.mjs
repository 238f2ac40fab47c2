// Fills an embedded database with cafés and duties, as quickly as the database can.
import Database from 'better-sqlite3';
import { join } from 'node:path';
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
