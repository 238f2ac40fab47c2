// One life of the bot at the invented café: takes up the script where the last life ended, and dies where it is told to.
// Arguments: folder, a JSON object { die: { what, n } | null, downtime, forgetful }.
import { readFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { assemble, readConfig } from '../../dist/assemble.js';
import { seedDemo } from '../../dist/cafe/demo.js';
import { markShown } from '../../dist/delivery/outbox.js';
import { createNotices } from '../../dist/notices.js';
import { createIds } from '../../dist/store/id.js';
import { openStore } from '../../dist/store/open.js';
import { read, transact } from '../../dist/store/transact.js';
import { passTime } from '../../dist/terminal/pass-time.js';
import { rehearsalClock } from '../../dist/time/clock.js';
import { createPlatform, openPlatform, pressesOf } from './platform.mjs';

const [folder, given] = process.argv.slice(2);
const { die, downtime, forgetful } = JSON.parse(given);
const script = JSON.parse(readFileSync(join(folder, 'script.json'), 'utf8'));

let left = die?.n ?? 0;
let inside = false;
/** Ends this process at once, as a power cut would, when its turn has come. */
const mayDie = (what) => {
  if (die?.what !== what || --left > 0) return;
  writeSync(1, `${JSON.stringify({ died: what, inside })}\n`);
  process.kill(process.pid, 'SIGKILL');
  // The signal is taken up between two instructions; nothing may happen until then.
  for (;;);
};

let watching = false;
const platformDb = openPlatform(folder);
const store = await openStore({
  folder,
  watch: (query) => {
    if (!watching) return;
    if (query.startsWith('begin')) inside = true;
    if (query === 'commit' || query === 'rollback') inside = false;
    mayDie('statement');
  },
});

const progress = platformDb.prepare('select step, now from progress').get() ?? { step: 0, now: Date.parse(script.start) };
const clock = rehearsalClock(progress.now + downtime, 0);
const setProgress = (step) => platformDb.prepare('insert into progress values (0, ?, ?) on conflict (id) do update set step = excluded.step, now = excluded.now').run(step, clock.now());
const chat = createPlatform(platformDb, clock, { forgetful, beforeSend: () => mayDie('before-send'), afterSend: () => mayDie('after-send') });
const ids = createIds();
const bot = assemble({ store, chat, clock, log: pino({ level: 'error' }, pino.destination({ fd: 2, sync: true })), ids, config: readConfig('config') });
await transact(store, [], (tx) => seedDemo(tx, ids, clock.now(), bot.onLive));

const here = (event, who) => ({ id: event, by: { id: who, name: who[0].toUpperCase() + who.slice(1), roles: ['bar'], manages: false }, at: 'c.bar', space: 'lantern' });
const shown = () => platformDb.prepare('select * from message order by id desc').all().map((row) => ({ id: row.id, place: row.place, message: JSON.parse(row.now) }));
const withPress = (kind) => shown().find(({ message }) => pressesOf(message).some((press) => press.kind === kind));
const noteTaken = (event, who, press, message) => platformDb.prepare('insert or ignore into taken values (?, ?, ?, ?, ?, ?)').run(event, who, press.kind === 'routine.done' ? press.ids[0] : null, press.kind === 'routine.end' ? press.ids[0] : null, clock.now(), message.lines.map(({ text }) => text).join(' / '));

/** Presses the newest button that fits, shows what comes back, and notes that the person saw it taken. */
const pressOn = async (event, who, fits) => {
  const on = shown().find(({ message }) => pressesOf(message).some(fits));
  if (!on) return;
  const press = pressesOf(on.message).find(fits);
  const answer = await bot.router.take({ ...here(event, who), kind: 'press', press, on: String(on.id) });
  if (answer?.kind !== 'redraw') return;
  platformDb.prepare('update message set now = ? where id = ?').run(JSON.stringify(answer.message), on.id);
  noteTaken(event, who, press, answer.message);
  mayDie('after-send');
  if (answer.shows) await markShown(store, answer.shows.key, answer.shows.version);
};

const DOES = {
  wait: async () => undefined,
  done: ({ event, who }) => pressOn(event, who, (press) => press.kind === 'routine.done'),
  end: ({ event, who, how }) => pressOn(event, who, (press) => press.kind === 'routine.end' && press.ids[1] === how),
  back: ({ event, who }) => pressOn(event, who, (press) => press.kind === 'routine.back'),
  say: async ({ event, who, text }) => {
    const list = withPress('routine.done');
    if (list) await bot.router.take({ ...here(event, who), kind: 'words', text, readable: true, addressed: true, replyTo: String(list.id) });
  },
};

watching = true;
await bot.resume();
await bot.sender.drain();
for (let step = progress.step; step < script.steps.length; step++) {
  const todo = script.steps[step];
  await passTime(store, clock, bot, Math.max(clock.now(), Date.parse(todo.at)));
  await DOES[todo.do](todo);
  await bot.sender.drain();
  setProgress(step + 1);
}
watching = false;

// The end: every message that is shown beside what its kind draws from the database now.
const show = createNotices(bot.subjects, clock);
const rows = await read(store, (tx) => tx.selectFrom('outbox').selectAll().where('state', '=', 'sent').where('kind', 'in', ['reminder', 'routine.thanks']).execute());
const differing = [];
for (const row of rows) {
  const stored = JSON.stringify(await show({ ...row, data: JSON.parse(row.data) }));
  const seen = platformDb.prepare('select now from message where id = ?').get(Number(row.message_id))?.now;
  if (stored !== seen) differing.push({ key: row.key, version: row.version, shown: row.shown_version, stored, seen });
}
writeSync(1, `${JSON.stringify({ ended: true, compared: rows.length, differing })}\n`);
await bot.sender.stop();
await store.close();
