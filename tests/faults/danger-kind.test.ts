import { expect, test } from 'vitest';
import { causeById } from '../../src/faults/catalogue.ts';
import { readCatalogue } from '../../src/faults/catalogue-read.ts';
import { dangerOf } from '../../src/faults/danger-kind.ts';
import { levelOf } from '../../src/faults/safety.ts';

const catalogue = readCatalogue('config/faults');
const causes = causeById(catalogue);
const stop = (...likely: readonly (readonly [string, number])[]) => dangerOf({ likely: likely.map(([cause, chance]) => ({ cause, chance })), caution: { level: 2, because: [] } }, causes);

test('the steps shown fit the likeliest hazard that stops the machine, not the likeliest cause', () => {
  expect(stop(['seal-worn', 0.9], ['over-pressure', 0.1])).toBe('steam');
  expect(stop(['steam-stuck-open', 0.6], ['earth-fault', 0.3])).toBe('scald');
  expect(stop(['earth-fault', 0.6], ['steam-stuck-open', 0.3])).toBe('electric');
  expect(stop(['copper', 0.7])).toBe('chemical');
  expect(stop(['seal-worn+body-live', 0.7])).toBe('electric');
});

test('a danger of one group alone does not name the danger of the machine, and with nothing known people step back', () => {
  expect(stop(['lever-no-load', 0.9], ['hose-burst', 0.05])).not.toBe('pressure');
  expect(stop(['something-else', 1])).toBe('scald');
});

test('gas is the danger wherever everybody has to leave', () => {
  for (const { id, danger } of catalogue.causes) if (levelOf(danger) === 3) expect(dangerOf({ likely: [{ cause: id, chance: 1 }], caution: { level: 3, because: [] } }, causes)).toBe('gas');
});
