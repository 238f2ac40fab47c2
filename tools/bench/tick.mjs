import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pino } from 'pino';
import { createTick } from '../../dist/delivery/tick.js';
import { createPostDue } from '../../dist/routine/post-due.js';
import { readRoutine } from '../../dist/routine/standard.js';
import { createIds } from '../../dist/store/id.js';
import { fill, fillServer } from './fill.mjs';
import { median, percentile } from './figures.mjs';

const AT = Date.parse('2026-06-10T19:00:00Z');
const quiet = pino({ level: 'silent' });
const jobs = readRoutine('config/routine.yaml');

const tickFor = (store) => createTick({ store, log: quiet, timers: new Map(), fireDuties: createPostDue(createIds(), jobs) });

const withStore = async (cafes, due, work) => {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'));
  const store = await fill(folder, cafes, due, AT);
  try {
    return await work(tickFor(store), store);
  } finally {
    await store.close();
    rmSync(folder, { recursive: true, force: true });
  }
};

const timed = async (work) => {
  const from = performance.now();
  const result = await work();
  return { ms: performance.now() - from, result };
};

/** Duties 1 to 4 of this café are due. */
const dueBelow = (cafes) => (c, j) => c < cafes && j >= 1 && j <= 4;
const HUNDRED = Array.from({ length: 100 }, (_, i) => `d${String(Math.floor(i / 4)).padStart(7, '0')}${String(1 + (i % 4)).padStart(2, '0')}`);
/** Later than all that has been planned so far on this day. */
const LATER = AT + 60_000;

const fire = async (tick, at, due) => {
  const { ms, result } = await timed(() => tick(at));
  if (result.fired !== due) throw new Error(`${result.fired} duties fired instead of ${due}`);
  return ms;
};

/** Milliseconds of one tick with 100 due duties, and of idle ticks after it. */
const ticksOf = async (tick, store) => {
  const busy = [];
  for (let round = 0; round < 15; round++) {
    await store.db.updateTable('duty').set({ next_due: LATER + round }).where('id', 'in', HUNDRED).execute();
    busy.push(await fire(tick, LATER + round, 100));
  }
  const idle = [];
  for (let round = 0; round < 500; round++) idle.push((await timed(() => tick(LATER + 100))).ms);
  return { busy: median(busy.slice(3)), idle: percentile(idle, 0.99) };
};

/** Idle ticks and the planning of 20,000 due duties on a server, where TEST_DATABASE_URL names one. */
export const benchTickServer = async () => {
  const url = process.env.TEST_DATABASE_URL;
  if (!url) return [];
  const { store, drop } = await fillServer(url, 100_000, 5000, AT);
  try {
    const tick = tickFor(store);
    const planning = await fire(tick, AT, 20_000);
    const { busy, idle } = await ticksOf(tick, store);
    return [
      { what: 'PostgreSQL: tick, 100 due of 1,200,000 duties', value: busy, unit: 'ms' },
      { what: 'PostgreSQL: idle tick, 1,200,000 duties, 99th percentile', value: idle, unit: 'ms' },
      { what: 'PostgreSQL: 20,000 due duties planned, 1,200,000 in all', value: planning, unit: 'ms', goal: 3000 },
    ];
  } finally {
    await store.close();
    await drop();
  }
};

/** The most memory this process has held so far, in MB; what filled the database is in it. */
const peak = () => process.resourceUsage().maxRSS / 1024;

export const benchTick = async () => {
  // Both have just planned 20,000, so that neither meets code or pages the other had warmed.
  const measured = (cafes) => withStore(cafes, dueBelow(5000), async (tick, store) => ({ planning: await fire(tick, AT, 20_000), ...(await ticksOf(tick, store)) }));
  const few = await measured(10_000);
  const { planning, ...many } = await measured(100_000);
  return [
    { what: 'tick, 100 due of 1,200,000 duties, against 100 of 120,000', ratio: many.busy / few.busy, most: 1.5 },
    { what: 'tick, 100 due of 1,200,000 duties', value: many.busy, unit: 'ms' },
    { what: 'idle tick, 1,200,000 duties, 99th percentile', value: many.idle, unit: 'ms', goal: 5 },
    { what: '20,000 due duties planned, 1,200,000 in all', value: planning, unit: 'ms', goal: 3000 },
    { what: '20,000 planned of 1,200,000, against 20,000 of 120,000', ratio: planning / few.planning, most: 1.5 },
    { what: 'most memory held meanwhile, filling the database included', value: peak(), unit: 'MB' },
  ];
};
