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

const withStore = async (cafes, due, work) => {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'));
  const store = await fill(folder, cafes, due, AT);
  const tick = createTick({ store, log: quiet, timers: new Map(), fireDuties: createPostDue(createIds(), jobs) });
  try {
    return await work(tick, store);
  } finally {
    await store.close();
    rmSync(folder, { recursive: true, force: true });
  }
};

/** Milliseconds of one tick with 100 due duties, and of idle ticks after it. */
const tickOf = (cafes) =>
  withStore(cafes, (c, j) => c < 25 && j >= 1 && j <= 4, async (tick, store) => {
    const busy = [];
    for (let round = 0; round < 15; round++) {
      await store.db.updateTable('duty').set({ next_due: AT + round }).where('id', 'in', Array.from({ length: 100 }, (_, i) => `d${String(Math.floor(i / 4)).padStart(7, '0')}${String(1 + (i % 4)).padStart(2, '0')}`)).execute();
      const from = performance.now();
      const { fired } = await tick(AT + round);
      busy.push(performance.now() - from);
      if (fired !== 100) throw new Error(`${fired} duties fired instead of 100`);
    }
    const idle = [];
    for (let round = 0; round < 500; round++) {
      const from = performance.now();
      await tick(AT + 100);
      idle.push(performance.now() - from);
    }
    return { busy: median(busy.slice(3)), idle: percentile(idle, 0.99) };
  });

/** Idle ticks and the planning of 20,000 due duties on a server, where TEST_DATABASE_URL names one. */
export const benchTickServer = async () => {
  const url = process.env.TEST_DATABASE_URL;
  if (!url) return [];
  const { store, drop } = await fillServer(url, 100_000, 5000, AT);
  try {
    const tick = createTick({ store, log: quiet, timers: new Map(), fireDuties: createPostDue(createIds(), jobs) });
    const from = performance.now();
    const { fired } = await tick(AT);
    const planning = performance.now() - from;
    if (fired !== 20_000) throw new Error(`${fired} duties fired instead of 20,000`);
    const idle = [];
    for (let round = 0; round < 500; round++) {
      const begun = performance.now();
      await tick(AT + 100);
      idle.push(performance.now() - begun);
    }
    return [
      { what: 'PostgreSQL: idle tick, 1,200,000 duties, 99th percentile', value: percentile(idle, 0.99), unit: 'ms' },
      { what: 'PostgreSQL: 20,000 due duties planned, 1,200,000 in all', value: planning, unit: 'ms', goal: 3000 },
    ];
  } finally {
    await store.close();
    await drop();
  }
};

export const benchTick = async () => {
  const few = await tickOf(84);
  const many = await tickOf(100_000);
  const planning = await withStore(100_000, (c, j) => c < 5000 && j >= 1 && j <= 4, async (tick) => {
    const from = performance.now();
    const { fired } = await tick(AT);
    if (fired !== 20_000) throw new Error(`${fired} duties fired instead of 20,000`);
    return performance.now() - from;
  });
  return [
    { what: 'tick, 100 due of 1,200,000 duties, against 100 of 1,008', ratio: many.busy / few.busy, most: 1.5 },
    { what: 'tick, 100 due of 1,200,000 duties', value: many.busy, unit: 'ms' },
    { what: 'idle tick, 1,200,000 duties, 99th percentile', value: many.idle, unit: 'ms', goal: 5 },
    { what: '20,000 due duties planned, 1,200,000 in all', value: planning, unit: 'ms', goal: 3000 },
  ];
};
