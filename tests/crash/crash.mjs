// Kills the bot again and again in the middle of two weeks at a café, then looks whether anything was lost or doubled.
//   node tests/crash/crash.mjs [kills=25] [seed=1] [--forgetful]
// --forgetful: the platform recognises no repeats. Doubles must then be found, or the test finds nothing at all.
import Database from 'better-sqlite3';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chance } from './chance.mjs';
import { deathFor, downtimeFor, KINDS, whereDied } from './deaths.mjs';
import { judge, lostAtDeath, oddInPlan, planOf } from './judge.mjs';
import { openPlatform } from './platform.mjs';
import { scriptFor } from './script.mjs';

const numbers = process.argv.slice(2).filter((each) => /^\d+$/.test(each)).map(Number);
const [kills = 25, firstSeed = 1] = numbers;
const forgetful = process.argv.includes('--forgetful');
const DRIVER = join(import.meta.dirname, 'driver.mjs');
/** In one life of so many the bot may not look back in a channel. */
const UNREADABLE = 3;
/** Of so many kills each kind has to be one: 20 in 300. */
const ONE_IN = 15;

const live = (folder, life) => {
  const run = spawnSync(process.execPath, [DRIVER, folder, JSON.stringify({ forgetful, ...life })], { encoding: 'utf8', timeout: 300_000, maxBuffer: 1e8 });
  const said = run.stdout.trim().split('\n').filter(Boolean).map((line) => JSON.parse(line)).at(-1);
  if (run.signal !== 'SIGKILL' && !said?.ended) throw new Error(`the bot ended by itself: ${run.stderr || run.error || run.status}`);
  return { killed: run.signal === 'SIGKILL' ? said : undefined, end: said?.ended ? said : undefined, errors: run.stderr };
};

/** Looks at what a life left behind. */
const look = (folder, work) => {
  const [db, platform] = [new Database(join(folder, 'grouphand.sqlite')), openPlatform(folder)];
  try {
    return work(db, platform);
  } finally {
    db.close();
    platform.close();
  }
};

const inFolder = (script, work) => {
  const folder = mkdtempSync(join(tmpdir(), 'crash-'));
  try {
    writeFileSync(join(folder, 'script.json'), JSON.stringify(script));
    return work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const withoutDeath = (script) =>
  inFolder(script, (folder) => {
    const { end } = live(folder, { die: null, downtime: 0, forgetful: false, unreadable: false });
    return look(folder, (db, platform) => {
      const expected = planOf(db, platform);
      return { expected, odd: [...oddInPlan(platform, expected), ...end.differing.map(({ key, stored, seen }) => `without a death ${key} is seen as ${seen} and stored as ${stored}`)] };
    });
  });

const oneCafe = (seed, most) => {
  const luck = chance(seed);
  const script = scriptFor(luck);
  const { expected, odd } = withoutDeath(script);
  return inFolder(script, (folder) => {
    const deaths = [];
    const atDeath = { looked: 0, problems: [] };
    for (let downtime = 0; ; downtime = downtimeFor(luck)) {
      const { killed, end, errors } = live(folder, { die: deaths.length < most ? deathFor(luck) : null, downtime, unreadable: luck.below(UNREADABLE) === 0 });
      if (errors) console.log(errors.trim());
      if (end) {
        const { problems, ...rest } = look(folder, (db, platform) => judge(db, platform, expected, end));
        return { deaths, ...rest, looked: atDeath.looked, problems: [...odd, ...atDeath.problems, ...problems], compared: end.compared };
      }
      look(folder, (db, platform) => {
        deaths.push(whereDied(db, platform, killed));
        const { looked, problems } = lostAtDeath(db, platform, script.steps[platform.prepare('select step from progress').get()?.step ?? 0]?.event ?? '');
        atDeath.looked += looked;
        atDeath.problems.push(...problems);
      });
    }
  });
};

const counts = Object.fromEntries(KINDS.map((kind) => [kind, 0]));
const ways = {};
const sums = { kills: 0, lists: 0, taken: 0, words: 0, compared: 0, looked: 0, uncertain: 0, problems: 0, cafes: 0 };
for (let seed = firstSeed; sums.kills < kills; seed++) {
  const found = oneCafe(seed, kills - sums.kills);
  for (const where of found.deaths) counts[where] = (counts[where] ?? 0) + 1;
  for (const way of found.ways) ways[way] = (ways[way] ?? 0) + 1;
  for (const each of ['lists', 'taken', 'words', 'compared', 'looked', 'uncertain']) sums[each] += found[each];
  sums.kills += found.deaths.length;
  sums.problems += found.problems.length;
  sums.cafes++;
  console.log(`seed ${seed}: ${found.deaths.length} kills, ${found.lists} lists posted, ${found.taken} presses and ${found.words} words taken, ${found.uncertain} uncertain, ${found.problems.length} problems`);
  for (const problem of found.problems) console.log(`  ${problem}`);
}
const listed = (of) => Object.entries(of).sort(([a], [b]) => (a < b ? -1 : 1)).map(([what, n]) => `${what} ${n}`).join(', ');
console.log(`${sums.kills} kills (${listed(counts)}), ${sums.cafes} cafés: ${sums.lists} lists, ${sums.taken} presses and ${sums.words} words seen taken, ${sums.looked} of them looked for right after a death, ${sums.compared} shown states compared, ${sums.uncertain} messages uncertain, ${sums.problems} problems`);
console.log(`answers taken: ${listed(ways)}`);
const rare = KINDS.filter((kind) => counts[kind] < Math.floor(kills / ONE_IN));
if (rare.length > 0) console.log(`too few of: ${rare.join(', ')}`);
if (forgetful) console.log(sums.problems > 0 ? 'doubles were found, as they must be on such a platform' : 'no double was found: this test finds nothing');
process.exit((sums.problems > 0) === forgetful && rare.length === 0 ? 0 : 1);
