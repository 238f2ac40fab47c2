// A simulated year of one invented café: real opening hours, both clock changes, holidays, weeks away. What was posted is held against
// a calendar kept here with plain arithmetic and the platform's own clock, and drawn into docs/pictures/year.png.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pino } from 'pino';
import { assemble, readConfig } from '../dist/assemble.js';
import { seedDemo } from '../dist/cafe/demo.js';
import { writeExceptions, writeSpans, writeWeek } from '../dist/cafe/calendar.js';
import { nextDelivery } from '../dist/delivery/outbox.js';
import { nextTick } from '../dist/delivery/tick.js';
import { svg, toPng } from '../dist/seals/picture.js';
import { createIds } from '../dist/store/id.js';
import { openStore } from '../dist/store/open.js';
import { read, transact } from '../dist/store/transact.js';

const ZONE = 'Europe/Madrid';
const [YEAR, SEED] = [2027, Number(process.argv[2] ?? 1)];
const DAY = 86_400_000;
let seed = SEED;
const random = () => (seed = (seed * 48_271) % 2_147_483_647) / 2_147_483_647;

// Sunday first, minutes after midnight. Friday and Saturday go past midnight; Monday is closed.
const DOORS = [[540, 960], null, [480, 1350], [480, 1350], [480, 1350], [480, 1470], [540, 1470]];
const AWAY = [['2027-08-02', '2027-08-23'], ['2027-12-24', '2027-12-26'], ['2027-01-01', '2027-01-01']];
const OTHER = new Map([['2027-12-31', [540, 960]], ['2027-03-19', [600, 1380]]]);
const CLEANING = 30;

const wall = new Intl.DateTimeFormat('en-CA', { timeZone: ZONE, year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });
const wallOf = (at) => { const p = Object.fromEntries(wall.formatToParts(at).map(({ type, value }) => [type, value])); return { date: `${p.year}-${p.month}-${p.day}`, minute: Number(p.hour) * 60 + Number(p.minute) }; };
const dates = Array.from({ length: 365 }, (_, i) => new Date(Date.UTC(YEAR, 0, 1) + i * DAY).toISOString().slice(0, 10));
const doorsOn = (date) => (OTHER.get(date) ?? (AWAY.some(([a, b]) => a <= date && date <= b) ? null : DOORS[new Date(`${date}T00:00Z`).getUTCDay()]));

const folder = mkdtempSync(join(tmpdir(), 'year-'));
const store = await openStore({ folder });
let now = Date.parse('2026-12-28T09:00:00Z');
const clock = { now: () => now };
const sent = [];
const chat = {
  nonceWindow: 120_000,
  send: async (place, message, { silent }) => { sent.push({ at: now, place, silent: silent === true, text: message.lines.map(({ text }) => (typeof text === 'string' ? text : '')).join(' | '), labels: (message.rows ?? []).flat().map(({ label }) => label) }); return `m${sent.length}`; },
  edit: async () => undefined, remove: async () => undefined, find: async () => ({ kind: 'not-found' }),
};
const ids = createIds();
const bot = assemble({ store, chat, clock, log: pino({ level: 'silent' }), ids, config: readConfig('config') });
await transact(store, [], (tx) => seedDemo(tx, ids, now, bot.onLive));
const span = (one) => (one === null ? [] : [{ from: one[0], to: one[1] }]);
const mondayFirst = [...DOORS.slice(1), DOORS[0]];
const lunch = [{ from: 780, to: 870 }];
await transact(store, [], async (tx) => {
  const { id } = await tx.selectFrom('cafe').select('id').executeTakeFirstOrThrow();
  await tx.updateTable('cafe').set({
    hours: writeWeek({ days: mondayFirst.map(span), holidays: [] }), cleaning_before: CLEANING, rush: writeSpans([lunch, lunch, lunch, lunch, lunch, lunch, lunch]), nudge_minutes: 30,
    exceptions: writeExceptions([...AWAY.map(([from, to]) => ({ kind: 'closed', from, to })), ...[...OTHER].map(([date, one]) => ({ kind: 'open', date, spans: span(one) }))]),
  }).execute();
  for (const group of [1, 2]) {
    const machine = await tx.selectFrom('machine').selectAll().executeTakeFirstOrThrow();
    await tx.insertInto('seal_fitting').values({ id: ids(now), cafe: id, machine: machine.id, group_number: group, part: 'seal', fitted_at: now - (40 + 30 * group) * DAY, met_at: now, size_mm: 8, material: 'rubber', by_name: 'Ola', at: now }).execute();
  }
  await bot.onLive(tx, id, now);
});

const person = (name) => ({ id: name.toLowerCase(), name, roles: ['bar'], manages: false });
let events = 0;
const press = (who, kind, pressIds) => bot.router.take({ id: `e${++events}`, by: person(who), at: 'c.bar', space: 'lantern', kind: 'press', press: { kind, ids: pressIds } });

/** The bar answers most lists, some minutes later, and ends what soaks. */
const answerLists = async () => {
  const open = await read(store, (tx) => tx.selectFrom('reminder').select(['id', 'due_at', 'date']).where('state', '=', 'open').where('due_at', '<=', now - 600_000).execute());
  for (const { id, date } of open) {
    if (seen.has(id)) continue;
    seen.add(id);
    if (random() > 0.94) continue;
    // A new crew from October on.
    const crew = date < '2027-10-01' ? ['Mia', 'Sam'] : ['Lina', 'Pablo', 'Mia'];
    const who = crew[Math.floor(random() * crew.length)];
    await press(who, 'routine.done', [id]);
    const asked = await read(store, (tx) => tx.selectFrom('occurrence').select('id').where('reminder', '=', id).where('state', '=', 'asked').execute());
    for (const { id: job } of asked) await press(who, 'routine.end', [job, 'out']);
    // Two of three who changed a seal say that the same size went in; the others forget.
    const changed = await read(store, (tx) => tx.selectFrom('occurrence').select(['machine', 'group_number']).where('reminder', '=', id).where('job', '=', 'seal-change').where('state', '=', 'done').execute());
    for (const { machine, group_number } of changed) if (random() < 0.67) await press(who, 'record.same', [machine, String(group_number)]);
  }
};
const seen = new Set();

const end = Date.parse(`${YEAR + 1}-01-01T04:00:00Z`);
const began = performance.now();
let answerAt = Infinity;
while (now < end) {
  const next = await read(store, async (tx) => [await nextTick(tx), await nextDelivery(tx)].filter((each) => each !== null));
  now = Math.max(now + 1, Math.min(...next, answerAt, now + 6 * 3_600_000));
  const before = sent.length;
  await bot.tick(now);
  await bot.sender.drain();
  if (sent.length > before) answerAt = Math.min(answerAt, now + 900_000);
  if (now >= answerAt) { answerAt = Infinity; await answerLists(); await bot.sender.drain(); }
}
const seconds = (performance.now() - began) / 1000;

const lists = await read(store, (tx) => tx.selectFrom('reminder').innerJoin('outbox', (join) => join.on((eb) => eb('outbox.key', '=', eb.fn('concat', [eb.val('reminder.'), 'reminder.id'])))).select(['reminder.id', 'reminder.moment', 'reminder.date', 'reminder.due_at', 'reminder.form', 'outbox.sent_at', 'outbox.silent']).orderBy('due_at').execute()).catch(async () => {
  const reminders = await read(store, (tx) => tx.selectFrom('reminder').selectAll().orderBy('due_at').execute());
  return reminders.map((row) => ({ ...row, sent_at: row.due_at, silent: 0 }));
});
const jobs = await read(store, (tx) => tx.selectFrom('occurrence').select(['job', 'due_at', 'state', 'group_number']).orderBy('due_at').execute());
await store.close?.();
rmSync(folder, { recursive: true, force: true });

const problems = [];
const closings = lists.filter(({ moment }) => moment === 'at-closing');
for (const date of dates) {
  const doors = doorsOn(date);
  const found = closings.filter((list) => list.date === date);
  if (found.length !== (doors === null ? 0 : 1)) problems.push(`${date}: ${found.length} closings`);
  const want = doors && doors[1] - CLEANING;
  for (const { due_at } of found) {
    const { date: day, minute } = wallOf(due_at);
    const from = minute + (day === date ? 0 : 1440);
    if (want !== null && from !== want) problems.push(`${date}: closing at minute ${from}, not ${want}`);
  }
}
const inRush = sent.filter(({ at, place, text }) => { const { minute } = wallOf(at); return place === 'c.bar' && minute >= 780 && minute < 870 && !/^(Rinsed|Before the first)/.test(text); });
for (const { at, text } of inRush) problems.push(`in the rush: ${new Date(at).toISOString()} ${text}`);
// Until four in the morning it is still the evening before.
const whileAway = sent.filter(({ at }) => { const { date, minute } = wallOf(at); return minute >= 240 && AWAY.some(([from, to]) => from <= date && date <= to); });
for (const { at, text } of whileAway) problems.push(`while away: ${new Date(at).toISOString()} ${text}`);

const KINDS = [['at-closing', '#8a3b12', 'closing'], ['before-opening', '#d98e04', 'opening'], ['cold', '#1f6f8b', 'machine cold'], ['quiet', '#5a8f3c', 'quiet hour'], ['other', '#777777', 'questions, words before']];
const posts = sent.filter(({ place }) => place === 'c.bar' || place.startsWith('d')).map(({ at, text }) => {
  const list = lists.find(({ due_at, moment }) => at >= due_at && at - due_at < 7_200_000 && moment !== undefined && /:|usual/.test(text) && text.startsWith({ 'at-closing': 'Closing,', 'before-opening': 'Opening,', cold: 'Before switching', quiet: 'In the quiet' }[moment] ?? '~'));
  return { at, kind: list?.moment ?? 'other', text };
}).filter(({ at }) => { const { date } = wallOf(at); return date >= dates[0] || wallOf(at).minute < 240; });
const [LEFT, TOP, HOUR, ROW] = [70, 92, 27, 2.6];
const y = (date) => TOP + dates.indexOf(date) * ROW;
const x = (minute) => LEFT + ((minute - 300) / 60) * HOUR;
const dots = posts.flatMap(({ at, kind }) => {
  let { date, minute } = wallOf(at);
  if (minute < 240) { date = new Date(Date.parse(`${date}T00:00Z`) - DAY).toISOString().slice(0, 10); minute += 1440; }
  return dates.includes(date) ? [`<rect x="${x(minute).toFixed(1)}" y="${y(date).toFixed(1)}" width="7" height="2.3" fill="${KINDS.find(([id]) => id === kind)?.[1]}"/>`] : [];
});
const shut = dates.filter((date) => doorsOn(date) === null).map((date) => `<rect x="${LEFT}" y="${y(date).toFixed(1)}" width="${HOUR * 21}" height="${ROW}" fill="#e9e2d8"/>`);
const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'].map((name, i) => { const at = y(`${YEAR}-${String(i + 1).padStart(2, '0')}-01`); return `<text x="8" y="${at + 20}" font-size="22" fill="#222">${name}</text><line x1="${LEFT}" x2="${LEFT + HOUR * 21}" y1="${at}" y2="${at}" stroke="#bbb" stroke-width="1"/>`; });
const hoursText = [6, 9, 12, 15, 18, 21, 24].map((hour) => `<text x="${x(hour * 60)}" y="${TOP - 8}" font-size="20" text-anchor="middle" fill="#222">${hour}</text><line x1="${x(hour * 60)}" x2="${x(hour * 60)}" y1="${TOP}" y2="${TOP + 365 * ROW}" stroke="#ddd" stroke-width="1"/>`);
const foot = TOP + 365 * ROW + 34;
const legend = KINDS.map(([, colour, name], i) => `<rect x="${8 + (i % 2) * 300}" y="${foot + Math.floor(i / 2) * 32 - 14}" width="20" height="14" fill="${colour}"/><text x="${36 + (i % 2) * 300}" y="${foot + Math.floor(i / 2) * 32}" font-size="21" fill="#222">${name}</text>`);
const turns = [['2027-03-28', 'clocks on'], ['2027-10-31', 'clocks back']].map(([date, name]) => `<line x1="${LEFT}" x2="${LEFT + HOUR * 21}" y1="${y(date)}" y2="${y(date)}" stroke="#a00" stroke-width="1.5" stroke-dasharray="6 4"/><text x="${x(19 * 60)}" y="${y(date) - 5}" font-size="17" text-anchor="middle" fill="#a00">${name}</text>`);
const away = [['2027-08-12', 'closed for three weeks']].map(([date, name]) => `<text x="${LEFT + 150}" y="${y(date)}" font-size="20" fill="#555">${name}</text>`);
const png = await toPng(svg(650, foot + 84, [`<text x="8" y="36" font-size="26" fill="#111">A year of posts, ${YEAR}</text><text x="8" y="${TOP - 34 + 4}" font-size="17" fill="#555">down: the days; across: the hour on the café’s clock</text>`, ...shut, ...hoursText, ...months, ...dots, ...turns, ...away, ...legend]));
writeFileSync('docs/pictures/year.png', png);

const inYear = (at) => at >= Date.parse(`${YEAR}-01-01T00:00+01:00`);
const countOf = (kind) => lists.filter(({ moment, due_at }) => moment === kind && inYear(due_at)).length;
const reckoned = ['seal-change', 'cartridge', 'baskets-look', 'burrs', 'shut-down', 'restart-check'].map((job) => `| ${job} | ${jobs.filter((row) => row.job === job).map((row) => `${wallOf(row.due_at).date}${row.group_number ? ` (group ${row.group_number})` : ''} ${row.state}`).join(', ') || 'none'} |`);
const yearPosts = posts.filter(({ at }) => inYear(at));
writeFileSync('docs/results/year.md', `# A year at one café

Run on ${new Date().toISOString().slice(0, 10)} with Node ${process.version}, \`npm run year\` (seed ${SEED}), ${seconds.toFixed(0)} s. Everything in it is invented: Tue to Thu 8:00 to 22:30,
Fri to 24:30, Sat 9:00 to 24:30, Sun 9:00 to 16:00, Monday closed; three weeks away in August, Christmas, other hours on two days; rush
13:00 to 14:30; a silent word half an hour before closing. The bar answers 94 of 100 lists; a new crew from October on.

| of ${YEAR} | count |
|---|---|
| open days, by a calendar kept apart | ${dates.filter((date) => doorsOn(date) !== null).length} |
| closing lists | ${closings.filter(({ due_at }) => inYear(due_at)).length} |
| opening, cold, quiet-hour lists | ${countOf('before-opening')}, ${countOf('cold')}, ${countOf('quiet')} |
| closing lists in the short form | ${closings.filter(({ form }) => form === 'short').length} |
| posts in the channel and to the owner | ${yearPosts.length} |
| found wrong | ${problems.length} |

Held against the calendar: one closing list on every open day and none on a closed one, each at its minute on the wall clock, over both
clock changes and past midnight; nothing in the rush; nothing while away.

| by use, by forecast, around closures | when, and what became of it |
|---|---|
${reckoned.join('\n')}

![The posts of the year](../pictures/year.png)
${problems.length > 0 ? `\nFound wrong:\n${problems.slice(0, 20).map((each) => `- ${each}`).join('\n')}\n` : ''}`);
console.log(`${sent.length} posts, ${problems.length} wrong, ${png.length} bytes, ${seconds.toFixed(0)} s`);
for (const each of problems.slice(0, 20)) console.log(each);
process.exit(problems.length > 0 ? 1 : 0);
