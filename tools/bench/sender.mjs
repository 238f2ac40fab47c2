// A peak: 5,000 lists due at once at as many places, on a platform that answers after 80 ms and takes 40 a second. Meanwhile somebody gets an
// answer every second, one café has a queue of 200, and ten places answer after 5 s. Takes about two and a half minutes of real time.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { pino } from 'pino';
import { createPace } from '../../dist/discord/pace.js';
import { createSender } from '../../dist/delivery/sender.js';
import { createIds } from '../../dist/store/id.js';
import { openStore } from '../../dist/store/open.js';
import { postAll } from '../../dist/store/post.js';
import { transact } from '../../dist/store/transact.js';

const LISTS = Number(process.argv[2] ?? 5000);
const folder = mkdtempSync(join(tmpdir(), 'sender-'));
const store = await openStore({ folder });
const ids = createIds();
const clock = { now: () => Date.now() };
const sent = [];
const chat = {
  nonceWindow: 120_000,
  send: async (place, message) => { const key = message.lines[0].text; sent.push({ key, place, at: performance.now() }); await pause(place.startsWith('c.slow') ? 5000 : 80); return `m${sent.length}`; },
  edit: async () => undefined, remove: async () => undefined, find: async () => ({ kind: 'not-found' }),
};
const sender = createSender({ store, chat, clock, log: pino({ level: 'silent' }), show: async ({ key }) => ({ lines: [{ text: key }] }), refused: async () => undefined, pace: createPace() });
const notice = (key, place, priority, cafe) => ({ key, place, cafe, kind: 'said', data: {}, priority });
const lists = [
  ...Array.from({ length: 200 }, (_, i) => notice(`flood.${String(i).padStart(3, '0')}`, 'c.flood', 'reminder', 'flood')),
  ...Array.from({ length: 10 }, (_, i) => notice(`slow.${i}`, `c.slow${i}`, 'reminder', `slow${i}`)),
  ...Array.from({ length: LISTS }, (_, i) => notice(`list.${i}`, `c.${i}`, 'reminder', `cafe${i}`)),
];
for (let i = 0; i < lists.length; i += 500) await transact(store, [], (tx) => postAll(tx, ids, Date.now(), lists.slice(i, i + 500)));
const began = performance.now();
const asked = new Map();
let over = false;
const asking = (async () => {
  for (let i = 0; !over; i++) {
    await pause(1000);
    const key = `${i % 5 === 0 ? 'danger' : 'answer'}.${i}`;
    asked.set(key, performance.now());
    await transact(store, [], (tx) => postAll(tx, ids, Date.now(), [notice(key, `d.${i}`, i % 5 === 0 ? 'danger' : 'answer', `cafe${i}`)]));
    sender.wake();
  }
})();
await sender.drain();
over = true;
await asking;
await sender.drain();
const seconds = (performance.now() - began) / 1000;
await store.close?.();
rmSync(folder, { recursive: true, force: true });

const waits = [...asked].map(([key, at]) => (sent.find((one) => one.key === key)?.at ?? Infinity) - at).sort((a, b) => a - b);
const floods = sent.filter(({ place }) => place === 'c.flood');
const inOrder = floods.every(({ key }, i) => i === 0 || key > floods[i - 1].key);
const times = sent.map(({ at }) => at);
const most = times.reduce((best, from, i) => { let n = 0; while (i + n < times.length && times[i + n] < from + 1000) n++; return Math.max(best, n); }, 0);
const plain = sent.filter(({ key }) => key.startsWith('list.'));
const floodsBefore = floods.filter(({ at }) => at <= plain.at(-1).at).length;
const doubled = sent.length - new Set(sent.map(({ key }) => key)).size;
const rows = {
  'lists at other places': plain.length, 'seconds until all had theirs': seconds.toFixed(0), 'most begun within any second': most,
  'share of the café with 200 in its queue, while others waited (%)': ((100 * floodsBefore) / sent.filter(({ at }) => at <= plain.at(-1).at).length).toFixed(1), 'its order kept': inOrder,
  'answers and dangers in the peak': waits.length, 'their wait, median (ms)': waits[Math.floor(waits.length / 2)]?.toFixed(0), 'their wait, worst (ms)': waits.at(-1)?.toFixed(0), 'sent twice': doubled,
};
for (const [name, value] of Object.entries(rows)) console.log(`${name}: ${value}`);
writeFileSync('docs/results/sender.md', `# A peak of ${LISTS.toLocaleString('en')} lists

Run on ${new Date().toISOString().slice(0, 10)} with Node ${process.version} on the embedded database, two cores shared with other work: \`node tools/bench/sender.mjs\`.
The platform answers after 80 ms and is given at most 40 requests a second; ten places answer after 5 s.

| measured | |
|---|---|
${Object.entries(rows).map(([name, value]) => `| ${name} | ${value} |`).join('\n')}
`);
process.exit(doubled === 0 && inOrder && most < 50 ? 0 : 1);
