import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { openStore } from '../../src/store/open.ts';
import { databases } from '../store/databases.ts';
import { ackFigures, type AckFigures } from './ack-figures.ts';
import { closeBenches } from './bench.ts';

const folder = mkdtempSync(join(tmpdir(), 'ack-'));
afterAll(async () => {
  await closeBenches();
  rmSync(folder, { recursive: true, force: true });
});

test('acknowledgements, at rest and while the bot sends at its full rate', async () => {
  const figures: Record<string, AckFigures> = {};
  // On a disk, as a café's bot has it: each mark of a message is written through.
  for (const { name, open } of databases) figures[name] = await ackFigures(name === 'embedded' ? () => openStore({ folder }) : open);
  for (const { busy } of Object.values(figures)) expect(busy.ms.every((ms) => Number.isFinite(ms))).toBe(true);
  const place = process.env['ACK_FIGURES'];
  if (place !== undefined) writeFileSync(place, JSON.stringify(figures));
  else for (const [name, { idle, busy }] of Object.entries(figures)) console.log(JSON.stringify({ name, idle: idle.ms.at(-2), busy: busy.ms.at(-2), perSecond: busy.perSecond, tooMany: busy.tooMany }));
});
