// One life of the bot at the invented café: takes up the script where the last life ended, and dies where it is told to.
// Arguments: folder, a JSON object { die: { what, n } | null, downtime, forgetful, unreadable }.
import { readFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { assemble, readConfig } from '../../dist/assemble.js';
import { seedDemo } from '../../dist/cafe/demo.js';
import { createNotices } from '../../dist/notices.js';
import { createIds } from '../../dist/store/id.js';
import { openStore } from '../../dist/store/open.js';
import { read, transact } from '../../dist/store/transact.js';
import { passTime } from '../../dist/terminal/pass-time.js';
import { rehearsalClock } from '../../dist/time/clock.js';
import { createPeople } from './people.mjs';
import { createPlatform, openPlatform } from './platform.mjs';

const [folder, given] = process.argv.slice(2);
const { die, downtime, forgetful, unreadable } = JSON.parse(given);
const script = JSON.parse(readFileSync(join(folder, 'script.json'), 'utf8'));

const platformDb = openPlatform(folder);
const progress = platformDb.prepare('select step, now from progress').get() ?? { step: 0, now: Date.parse(script.start) };
/** A pause that would outlast what somebody still wants to do in time is cut short. */
const until = script.steps.slice(progress.step).find(({ by }) => by !== undefined)?.by;
const clock = rehearsalClock(Math.max(progress.now, Math.min(progress.now + downtime, until === undefined ? Infinity : Date.parse(until))), 0);

let left = die?.n ?? 0;
/** The transaction under way: what it has written besides the sender's own marks on messages. */
let open = null;
/** Ends this process at once, as a power cut would, when its turn has come. */
const mayDie = (what) => {
  if (die?.what !== what || --left > 0) return;
  writeSync(1, `${JSON.stringify({ died: what, uncommitted: open?.facts ?? 0, now: clock.now() })}\n`);
  process.kill(process.pid, 'SIGKILL');
  // The signal is taken up between two instructions; nothing may happen until then.
  for (;;);
};

const isFact = (query) => /^(insert|update|delete)/.test(query) && !query.startsWith('update "outbox"');

let watching = false;
/** Told of every query once it has run. */
const watch = (query) => {
  if (!watching) return;
  if (query.startsWith('begin')) open = { facts: 0, posts: 0 };
  else if (query === 'commit' || query === 'rollback') {
    const { posts } = open ?? { posts: 0 };
    open = null;
    if (query === 'commit' && posts > 0) mayDie('posted');
  } else if (open && isFact(query)) {
    open.facts++;
    if (query.startsWith('insert into "outbox"')) open.posts++;
    mayDie('writing');
  }
  mayDie('statement');
};
const store = await openStore({ folder, watch });

const setProgress = (step) => platformDb.prepare('insert into progress values (0, ?, ?) on conflict (id) do update set step = excluded.step, now = excluded.now').run(step, clock.now());
const chat = createPlatform(platformDb, clock, { forgetful, unreadable, beforeSend: () => mayDie('before-send'), afterSend: () => mayDie('after-send'), beforeEdit: () => mayDie('before-edit'), afterEdit: () => mayDie('after-edit') });
const ids = createIds();
const config = readConfig('config');
const bot = assemble({ store, chat, clock, log: pino({ level: 'error' }, pino.destination({ fd: 2, sync: true })), ids, config });
await transact(store, [], (tx) => seedDemo(tx, ids, clock.now(), bot.onLive));
const people = createPeople({ bot, store, platformDb, clock, words: config.words, seen: () => mayDie('seen') });

watching = true;
await bot.resume();
await bot.sender.drain();
for (let step = progress.step; step < script.steps.length; step++) {
  const todo = script.steps[step];
  await passTime(store, clock, bot, Math.max(clock.now(), Date.parse(todo.at)));
  // So that a life after this one does not begin before it.
  setProgress(step);
  await people[todo.do](todo);
  await bot.sender.drain();
  setProgress(step + 1);
}
watching = false;

// The end: every message that is shown beside what its kind draws from the database now.
const show = createNotices(bot.subjects, clock);
const SHOWN = ['reminder', 'routine.thanks', 'routine.water', 'routine.proof'];
const rows = await read(store, (tx) => tx.selectFrom('outbox').selectAll().where('state', '=', 'sent').where('kind', 'in', SHOWN).execute());
const differing = [];
for (const row of rows) {
  const stored = JSON.stringify(await show({ ...row, data: JSON.parse(row.data) }));
  const seen = platformDb.prepare('select now from message where id = ?').get(Number(row.message_id))?.now;
  if (stored !== seen) differing.push({ key: row.key, version: row.version, shown: row.shown_version, stored, seen });
}
writeSync(1, `${JSON.stringify({ ended: true, compared: rows.length, differing })}\n`);
await bot.sender.stop();
await store.close();
