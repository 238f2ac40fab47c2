import { expect, it } from 'vitest';
import { assumed } from './assumed.ts';
import { simulateDrift, type DriftResult } from './drift-simulation.ts';
import { medianOf, shareOf } from './life-calibration.ts';
import { seeded } from './random.ts';
import { percent, table, writeResult } from './result-file.ts';

const SEED = 301;
const RINGS = 2000;

const run = (readings: number, quickShare: number | undefined): readonly DriftResult[] => {
  const random = seeded(SEED);
  return Array.from({ length: RINGS }, () => simulateDrift(readings, quickShare, assumed, random)).filter((one) => one !== undefined);
};

it('drift ranges hold 74 to 86 % from eight quarter-hour readings on', () => {
  const truths = [undefined, 0, 0.2, 0.375, 0.5] as const;
  const rows = truths.flatMap((truth) =>
    [1, 4, 8, 12, 20, 30].map((readings) => {
      const all = run(readings, truth);
      return { truth, readings, all, held: shareOf(all.map((one) => one.held)) };
    }),
  );
  const lines = rows.map(({ truth, readings, all, held }) => [
    truth ?? 'as assumed',
    readings,
    all.length,
    percent(held),
    medianOf(all.map((one) => one.ratio)).toFixed(2),
    percent(medianOf(all.map((one) => one.rateError))),
    readings < 2 ? '–' : percent(medianOf(all.map((one) => one.theilSenError))),
  ]);
  writeResult('seal-drift', 'When a handle passes five o’clock', `seed ${SEED}, ${RINGS} rings a row`, [
    'Each ring is read to the quarter of an hour about once a week (one week in five is left out), with an error of 4 degrees, until it has so many readings; rings already past the limit are left out. *Held*: the true age at which it passes lies in the 80 % range (goal 74 to 86 % from eight readings on, truths drawn from what is assumed). *Ratio*: later end over earlier end of the range, median. *Rate off*: median error of the weekly creep, beside that of the median of pairwise slopes.',
    table(['share of creep that is bedding in', 'readings', 'rings', 'held', 'ratio', 'rate off', 'pairwise slopes off'], lines),
    'The first rows draw the share of bedding in from the assumed 0, 0.25 and 0.5. The rows below fix it, from a straight line (0) to half of the creep in the first weeks (0.5): between the edges the ranges are wider than they need be, since the belief cannot know which it is. The list was chosen among ten with 600 rings a row and the seeds 9008 to 9030, not with this one: with 0 to 0.45 in four steps, half of it bedding in was held in 64 to 74 % only; up to 0.6, the middle in up to 95 %. With the share fixed at 0.375 a trial held 27 to 40 % on straight lines.',
  ]);
  for (const { truth, readings, held } of rows) {
    if (readings < 8) continue;
    // Whatever the truth: never less sure than said. Wider than needed is allowed where one share is the only truth.
    expect(held).toBeGreaterThanOrEqual(0.74);
    if (truth === undefined) expect(held).toBeLessThanOrEqual(0.86);
  }
});
