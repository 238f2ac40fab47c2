import { describe, expect, test } from 'vitest';
import { barOf } from '../../../src/faults/bar.ts';
import { calibrationPicture, calibrationSvg } from '../../../src/faults/calibration-picture.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { modelFor } from '../../../src/faults/catalogue-model.ts';
import { createLearned, standingOf, type Over } from '../../../src/faults/learned.ts';
import type { CaseRecord } from '../../../src/faults/records.ts';
import { saidAgainstFound } from '../../../src/faults/calibration.ts';

const model = modelFor(readCatalogue('config/faults'), barOf({ kind: 'HX', groups: 2, lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains' }));

const row = (id: string, verdict: unknown, readings: unknown = []): CaseRecord => ({
  id, cafe: 'c', machine: 'm', group_number: 1, group_asked: 0, step: 'closed', state: 'fixed', symptom: 'leak-at-rim', nearest: '[]', complaint: '', asker: 'p', asker_name: 'Mia', place: 'p.mia', shown: '[]',
  readings: JSON.stringify(readings), question: null, hold: 0, verdict: JSON.stringify(verdict), photos: '[]', machine_state: null, opened_at: 0, updated_at: 0, closed_at: 0, rev: 0,
});
const verdict = (chance: number, costs: readonly [number, number, number]) => ({
  kind: 'bar-job', choice: { kind: 'bar-job', cost: costs[0] }, likely: [{ cause: 'seal-worn', chance }, { cause: 'lugs-crust', chance: 1 - chance }], money: { known: true, missing: [] },
  options: [{ kind: 'bar-job', cost: costs[2] }, { kind: 'book', cost: costs[1] }],
});

describe('how the verdicts came out', () => {
  test('right when the likeliest was found or the job held; costs are summed over cases with figures', () => {
    const over: readonly Over[] = [
      { row: row('1', verdict(0.8, [10, 120, 20])), found: 'seal-worn' },
      { row: row('2', verdict(0.6, [30, 130, 40])), found: 'lugs-crust' },
      { row: row('3', verdict(0.6, [5, 100, 5]), [{ kind: 'tried', job: 'wipe-rim', result: 'cured', by: '', at: 0 }]), found: null },
    ];
    const standing = standingOf(over);
    expect([standing.right, standing.judged, standing.scored.length]).toEqual([2, 3, 2]);
    expect(standing.cost).toEqual({ advised: 45, alwaysCall: 350, alwaysTry: 65, cases: 3 });
  });

  test('a café without figures of its own is shown no money', () => {
    const silent = { ...verdict(0.5, [1, 2, 3]), money: { known: false, missing: ['callFee'] } };
    expect(standingOf([{ row: row('1', silent), found: 'seal-worn' }]).cost).toBeNull();
  });
});

describe('learning anew from all cases', () => {
  const found = Array.from({ length: 30 }, (_, i): Over => ({ row: row(String(i), null), found: 'lugs-crust' }));
  const weight = (of: typeof model): number => {
    const causes = of.symptoms.find(({ id }) => id === 'leak-at-rim')?.causes ?? [];
    return (causes.find(({ cause }) => cause === 'lugs-crust')?.weight ?? 0) / causes.reduce((sum, each) => sum + each.weight, 0);
  };

  test('thirty findings of one cause raise it, and nothing is learned twice', () => {
    const learned = createLearned();
    const after = learned('key', model, found);
    expect(weight(after)).toBeGreaterThan(3 * weight(model));
    expect(learned('key', model, found)).toBe(after);
    expect(learned('key', model, [])).toBe(model);
  });
});

describe('the picture', () => {
  const bins = saidAgainstFound([{ chances: { a: 0.9, b: 0.1 }, found: 'a' }, { chances: { a: 0.9, b: 0.1 }, found: 'b' }], 5);

  test('has its one dot at nine said and five found of ten', () => {
    expect(calibrationSvg(bins, 'said', 'found').match(/<circle[^>]*>/g)).toEqual(['<circle cx="384.0" cy="240.0" r="7.8" fill="#1f5f8b" fill-opacity="0.75"/>']);
  });

  test('is a PNG of 480 by 480', () => {
    const png = Buffer.from(calibrationPicture(bins, 'said', 'found'));
    expect(png.subarray(1, 4).toString()).toBe('PNG');
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([480, 480]);
  });
});
