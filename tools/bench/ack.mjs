import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { percentile } from './figures.mjs';

/** How soon a press is acknowledged, at rest and while the bot sends at its full rate; on both databases where TEST_DATABASE_URL names a server. */
export const benchAck = async () => {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'));
  const place = join(folder, 'figures.json');
  const run = spawnSync(process.execPath, ['node_modules/vitest/vitest.mjs', 'run', '--config', 'tools/vitest.ack.config.ts'], { encoding: 'utf8', env: { ...process.env, ACK_FIGURES: place } });
  if (run.status !== 0) throw new Error(`${run.stdout}\n${run.stderr}`);
  const figures = JSON.parse(readFileSync(place, 'utf8'));
  rmSync(folder, { recursive: true, force: true });
  return Object.entries(figures).flatMap(([name, { idle, busy }]) => {
    const on = name === 'server' ? 'PostgreSQL: ' : '';
    return [
      { what: `${on}messages sent a second meanwhile, of the 40 the bot allows itself`, value: busy.perSecond, unit: '/s', goal: 40 },
      { what: `${on}requests the platform called too many`, value: busy.tooMany, unit: '', goal: 0 },
      { what: `${on}press acknowledged, at rest, median`, value: percentile(idle.ms, 0.5), unit: 'ms' },
      { what: `${on}press acknowledged, while sending, median`, value: percentile(busy.ms, 0.5), unit: 'ms' },
      { what: `${on}press acknowledged, while sending, 99th percentile`, value: percentile(busy.ms, 0.99), unit: 'ms', goal: 100 },
      { what: `${on}slowest acknowledgement while sending, of the 3 s allowed`, ratio: busy.ms.at(-1) / 3000, most: 0.5 },
    ];
  });
};
