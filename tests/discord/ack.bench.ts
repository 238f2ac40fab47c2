import { writeFileSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import { ackFigures } from './ack-figures.ts';
import { closeBenches } from './bench.ts';

afterAll(closeBenches);

test('acknowledgements, at rest and while fifty messages a second go out', async () => {
  const figures = await ackFigures();
  expect(figures.busy.ms.every((ms) => Number.isFinite(ms))).toBe(true);
  const place = process.env['ACK_FIGURES'];
  if (place !== undefined) writeFileSync(place, JSON.stringify(figures));
  else console.log(JSON.stringify({ idle: figures.idle.ms.at(-2), busy: figures.busy.ms.at(-2), perSecond: figures.busy.perSecond }));
});
