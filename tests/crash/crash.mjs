// Kills the bot again and again in the middle of two weeks at a café, then looks whether anything was lost or doubled.
//   node tests/crash/crash.mjs [kills=25] [seed=1] [--forgetful]
// --forgetful: the platform recognises no repeats. Doubles must then be found, or the test finds nothing at all.
import Database from 'better-sqlite3';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { nonceOf } from '../../dist/delivery/sender.js';
import { chance } from './chance.mjs';
import { openPlatform, pressesOf } from './platform.mjs';
import { CLOSINGS, scriptFor } from './script.mjs';

const numbers = process.argv.slice(2).filter((each) => /^\d+$/.test(each)).map(Number);
const [kills = 25, firstSeed = 1] = numbers;
const forgetful = process.argv.includes('--forgetful');
const DRIVER = join(import.meta.dirname, 'driver.mjs');

const live = (folder, life) => {
  const run = spawnSync(process.execPath, [DRIVER, folder, JSON.stringify({ forgetful, ...life })], { encoding: 'utf8', timeout: 300_000 });
  const said = run.stdout.trim().split('\n').filter(Boolean).map((line) => JSON.parse(line)).at(-1);
  if (run.signal !== 'SIGKILL' && !said?.ended) throw new Error(`the bot ended by itself: ${run.stderr || run.error || run.status}`);
  return { killed: run.signal === 'SIGKILL' ? said : undefined, end: said?.ended ? said : undefined, errors: run.stderr };
};

const open = (folder) => ({ db: new Database(join(folder, 'grouphand.sqlite')), platform: openPlatform(folder) });

/** Where the death fell, read from what it left behind. */
const whereDied = (folder, { inside }) => {
  const { db, platform } = open(folder);
  const nonces = new Set(platform.prepare('select nonce from message').all().map(({ nonce }) => nonce));
  const rows = db.prepare("select id, first_try_at, state from outbox where state in ('ready', 'claimed')").all();
  const redraws = db.prepare("select count(*) as n from outbox where state = 'sent' and redraw_at is not null and shown_version < version").get().n;
  const arrived = rows.some((row) => row.first_try_at !== null && nonces.has(nonceOf(row.id, row.first_try_at)));
  db.close();
  platform.close();
  return arrived ? 'sent, not marked' : rows.length > 0 ? 'stored, not sent' : inside ? 'before commit' : redraws > 0 ? 'stored, not shown' : 'at rest';
};

const listsOn = (platform) => platform.prepare('select id, first from message order by id').all().flatMap(({ id, first }) => {
  const press = pressesOf(JSON.parse(first)).find(({ kind }) => kind === 'routine.done');
  return press ? [{ id, reminder: press.ids[0] }] : [];
});

const remindersIn = (db) => db.prepare('select id, due_at, moment from reminder order by due_at').all();
const name = ({ due_at, moment }, jobs) => `${new Date(due_at).toISOString()} ${moment} ${jobs}`;
const jobsOf = (db, id) => db.prepare('select job from occurrence where reminder = ? order by position').all(id).map(({ job }) => job).join(',');

/** Every list that was due, by date, moment and jobs. */
const planOf = (folder) => {
  const { db, platform } = open(folder);
  const plan = remindersIn(db).map((reminder) => name(reminder, jobsOf(db, reminder.id)));
  db.close();
  platform.close();
  return plan;
};

/** Problems found after the last life, in words. */
const problemsIn = (folder, expected, end) => {
  const { db, platform } = open(folder);
  const problems = end.differing.map(({ key, version, shown, stored, seen }) => `${key}, version ${shown} of ${version}, is seen as\n    ${seen}\n    and stored as\n    ${stored}`);
  const posted = listsOn(platform);
  const reminders = remindersIn(db);
  for (const reminder of reminders) {
    const times = posted.filter((each) => each.reminder === reminder.id).length;
    if (times !== 1) problems.push(`${name(reminder, '')}: posted ${times} times`);
  }
  const plan = reminders.map((reminder) => name(reminder, jobsOf(db, reminder.id)));
  problems.push(...expected.filter((each) => !plan.includes(each)).map((each) => `never planned: ${each}`), ...plan.filter((each) => !expected.includes(each)).map((each) => `planned out of turn: ${each}`));
  const closings = reminders.filter(({ moment }) => moment === 'at-closing').map(({ due_at }) => new Date(due_at).toISOString());
  if (JSON.stringify(closings) !== JSON.stringify(CLOSINGS)) problems.push(`closings at ${closings.join(', ')}`);

  const taken = platform.prepare('select * from taken').all();
  const thanked = platform.prepare('select first from message').all().map(({ first }) => JSON.parse(first)).filter(({ lines }) => lines[0].text.startsWith('Thanks, '));
  for (const { event, who, job, at, seen } of taken.filter((each) => each.job !== null)) {
    const row = db.prepare('select state, reminder from occurrence where id = ?').get(job);
    // Whoever pressed "Done: the rest" later has opened the question anew.
    const asked = taken.some((each) => each.reminder === row?.reminder && each.at > at);
    if (!['done', 'soaking'].includes(row?.state) && !asked) problems.push(`${event}: ${who} ended a job at ${new Date(at).toISOString()} and saw "${seen}", stored is ${row?.state}`);
  }
  for (const { event, who, reminder } of taken.filter((each) => each.reminder !== null)) {
    const open = db.prepare("select job, state from occurrence where reminder = ? and state in ('due', 'later', 'part done')").all(reminder);
    const answered = db.prepare("select count(*) as n from occurrence where reminder = ? and by_name is not null and by_name != ''").get(reminder).n;
    if (open.length > 0 || answered === 0) problems.push(`${event}: ${who} saw a list taken, stored are ${open.map(({ job, state }) => `${job} ${state}`).join(', ') || 'no answers'}`);
  }
  const stored = db.prepare("select count(*) as n from outbox where kind = 'routine.thanks' and state = 'sent'").get().n;
  if (thanked.length !== stored) problems.push(`${thanked.length} thanks seen, ${stored} stored`);
  const waiting = db.prepare("select count(*) as n from outbox where state in ('ready', 'claimed', 'failed') and not_before < ?").get(platform.prepare('select now from progress').get().now).n;
  if (waiting > 0) problems.push(`${waiting} messages never went out`);
  db.close();
  platform.close();
  return { problems, lists: posted.length, taken: taken.length, thanks: thanked.length };
};

const inFolder = (work) => {
  const folder = mkdtempSync(join(tmpdir(), 'crash-'));
  try {
    return work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const deathFor = (luck) => {
  const what = luck.oneOf(['statement', 'statement', 'before-send', 'after-send', 'after-send']);
  return { what, n: 1 + luck.below(what === 'statement' ? 150 : 6) };
};
/** Seconds, minutes, half an hour: within the window in which the platform knows a repeat, and beyond it. */
const downtimeFor = (luck) => luck.oneOf([0, 5_000, 60_000, 300_000, 1_800_000]);

const oneCafe = (seed, most) => {
  const luck = chance(seed);
  const script = scriptFor(luck);
  const expected = inFolder((folder) => {
    writeFileSync(join(folder, 'script.json'), JSON.stringify(script));
    live(folder, { die: null, downtime: 0, forgetful: false });
    return planOf(folder);
  });
  return inFolder((folder) => {
    writeFileSync(join(folder, 'script.json'), JSON.stringify(script));
    const deaths = [];
    for (let downtime = 0; ; downtime = downtimeFor(luck)) {
      const { killed, end, errors } = live(folder, { die: deaths.length < most ? deathFor(luck) : null, downtime });
      if (errors) console.log(errors.trim());
      if (killed) deaths.push(whereDied(folder, killed));
      if (end) return { deaths, ...problemsIn(folder, expected, end), compared: end.compared };
    }
  });
};

const counts = {};
const sums = { kills: 0, lists: 0, taken: 0, thanks: 0, compared: 0, problems: 0, cafes: 0 };
for (let seed = firstSeed; sums.kills < kills; seed++) {
  const { deaths, problems, lists, taken, thanks, compared } = oneCafe(seed, kills - sums.kills);
  for (const where of deaths) counts[where] = (counts[where] ?? 0) + 1;
  sums.kills += deaths.length;
  sums.lists += lists;
  sums.taken += taken;
  sums.thanks += thanks;
  sums.compared += compared;
  sums.problems += problems.length;
  sums.cafes++;
  console.log(`seed ${seed}: ${deaths.length} kills, ${lists} lists posted, ${taken} presses and ${thanks} words taken, ${problems.length} problems`);
  for (const problem of problems) console.log(`  ${problem}`);
}
console.log(`${sums.kills} kills (${Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1)).map(([where, n]) => `${where} ${n}`).join(', ')}), ${sums.cafes} cafés: ${sums.lists} lists, ${sums.taken} presses and ${sums.thanks} words seen taken, ${sums.compared} shown states compared, ${sums.problems} problems`);
if (forgetful) console.log(sums.problems > 0 ? 'doubles were found, as they must be on such a platform' : 'no double was found: this test finds nothing');
process.exit((sums.problems > 0) === forgetful ? 0 : 1);
