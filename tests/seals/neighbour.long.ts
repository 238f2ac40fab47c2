import { describe, expect, it } from 'vitest';
import { assumed } from './assumed.ts';
import { tally } from './fit-simulation.ts';
import { medianOf } from './life-calibration.ts';
import { leadErrorsOf, simulateMachine, TRUTHS, type Outcome, type Truth } from './neighbour-simulation.ts';
import { seeded } from './random.ts';
import { percent, table, writeResult } from './result-file.ts';

const SEED = 402;
const MACHINES = 150;
const ROUNDS = 5;

const row = (truth: Truth, name: string, all: readonly Outcome[]): readonly (string | number)[] => {
  const t = tally(all.flatMap(({ changes }) => changes), assumed);
  return [truth, name, t.count, percent(t.within), percent(t.share), percent(t.farLeft), percent(t.outOfUse), percent(t.sure), percent(medianOf(all.flatMap(({ leadErrors }) => leadErrors)))];
};

const errorAfter = (truth: Truth, own: number, neighbour: number): number => medianOf(leadErrorsOf(truth, { own, neighbour }, 1000, assumed, SEED));

describe('two groups of one machine', () => {
  it('the neighbour helps the lead and does the size no harm', () => {
    const runs = TRUTHS.map((truth) => {
      const random = seeded(SEED);
      return { truth, all: Array.from({ length: MACHINES }, () => simulateMachine(truth, ROUNDS, assumed, random)) };
    });
    writeResult('seal-neighbour', 'What one group tells of the other', `seed ${SEED}, ${MACHINES} machines of two groups`, [
      'A group’s lead is learned from its own pairs of new rings of different stack and, more loosely, from those of the machine’s other group. Both groups get five rings in turn, each the first candidate of the advice at its word, read twice when new. The same machines, rings and reading errors are gone through twice: each group *alone*, and *together* with what the other one’s rings say. The leads of a machine’s two groups go together *as assumed* of machines of one kind, are *alike*, or are *unrelated*; their spread over all machines is the same. Counted are changes from two readings of new rings on.',
      table(['leads', 'advice', 'changes', 'within 10°', 'share of truth known', 'over 15° left', 'left of seven', 'sure', 'median error of the lead at the end'], runs.flatMap(({ truth, all }) => [row(truth, 'alone', all.map(({ alone }) => alone)), row(truth, 'together', all.map(({ together }) => together))])),
      'The size hardly changes: a café keeps to one or two sizes, so that pairs of different stack are few in either group, and a lead that is a tenth nearer moves the handle by a degree or two. What drifts is reckoned in degrees and does not use the lead at all.',
      '## The lead alone: median error over 1000 machines, each pair read twice',
      table(['leads', 'own pairs', ...[0, 1, 3].map((n) => `neighbour has ${n}`)], TRUTHS.flatMap((truth) => [0, 1, 3].map((own) => [truth, own, ...[0, 1, 3].map((n) => percent(errorAfter(truth, own, n)))]))),
    ]);
    for (const { all } of runs) {
      const [together, alone] = [tally(all.flatMap((one) => one.together.changes), assumed), tally(all.flatMap((one) => one.alone.changes), assumed)];
      expect(together.share).toBeGreaterThan(alone.share - 0.01);
      expect(together.farLeft).toBeLessThanOrEqual(0.01);
    }
    for (const truth of ['as assumed', 'alike'] as const) expect(errorAfter(truth, 0, 3)).toBeLessThan(errorAfter(truth, 0, 0));
  });
});
