import { writeFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import type { Breadth } from '../../../src/faults/next-question.ts';
import { BREADTH } from '../../../src/faults/next-question.ts';
import type { Compared, Gaps } from './policies.ts';
import { compareMany, gapsOf } from './policies.ts';
import { FAMILIES } from './problems.ts';

const COUNT = Number(process.env['PROBLEMS'] ?? 5000);
/** As narrow beside four questions as the engine is beside five times as many. */
const NARROW: Breadth = { exact: 1, first: 2, again: 3, second: 2 };

const percent = (share: number, digits: number): string => `${(100 * share).toFixed(digits)} %`;
const line = (name: string, { mean, p99, worst, kept }: Gaps): string =>
  `| ${name} | ${percent(mean, 3)} | ${percent(p99, 2)} | ${percent(worst, 1)} | ${percent(kept, 1)} |`;

const HEAD = ['| | mean gap | 99th in a hundred | worst | worth of asking kept |', '|---|---|---|---|---|'];

const table = (all: readonly Compared[], narrow: readonly Compared[]): string =>
  [
    ...HEAD,
    line('engine', gapsOf(all, (one) => one.engine)),
    ...FAMILIES.map((family) => line(`— ${family}`, gapsOf(all.filter((one) => one.family === family), (one) => one.engine))),
    line('engine, looking as narrowly as with 20 questions', gapsOf(narrow, (one) => one.engine)),
    line('one step ahead', gapsOf(all, (one) => one.oneStep)),
    line('ask nothing, best order of jobs', gapsOf(all, (one) => one.askNothing)),
    line('ask nothing, jobs by chance over cost', gapsOf(all, (one) => one.chanceOverCost)),
  ].join('\n');

const report = (all: readonly Compared[], narrow: readonly Compared[], seconds: number): string => `# Questions and jobs against the exact programme

Run on ${new Date().toISOString().slice(0, 10)} with Node ${process.version}, ${COUNT} problems with seeds 0 to ${COUNT - 1}:
\`npx vitest run --config tools/vitest.plan.config.ts plan\` (${Math.round(seconds)} s on one busy core).

Small invented problems of four families in turn: *plain* (four facts, four questions), *shared facts* (four questions on
two facts, one often below the other), *cold jobs* (shared cool-downs, trade and waiting, other trades, nothing wrong) and
*pairs* (two faults at once, "something else", "better but not gone"). Each has 3 to 5 causes and 2 or 3 jobs. The exact
programme asks, does jobs and ends in any order, by enumeration written apart from the engine. *Gap*: how far the expected
cost lies above that of the exact programme. *Kept*: of what asking is worth at best, over all problems.

${table(all, narrow)}

Chances and costs are made up: the table shows what the search loses by looking only two questions ahead and narrowly, not
how often a verdict is right in a café.
`;

it(`${COUNT} problems stay near the exact programme`, () => {
  const began = performance.now();
  const all = compareMany(COUNT);
  const seconds = (performance.now() - began) / 1000;
  const narrow = compareMany(Math.ceil(COUNT / 5), NARROW);
  const gaps = gapsOf(all, (one) => one.engine);
  writeFileSync(new URL('../../../docs/results/fault-plan.md', import.meta.url), report(all, narrow, seconds));
  expect(BREADTH.first).toBeGreaterThan(NARROW.first);
  expect(gaps.mean).toBeLessThan(0.003);
  expect(gaps.p99).toBeLessThan(0.025);
  expect(gaps.worst).toBeLessThan(0.07);
  expect(gaps.kept).toBeGreaterThan(0.97);
});
