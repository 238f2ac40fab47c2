import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { percentile } from './figures.mjs';

/** How soon a press is acknowledged, at rest and while the bot sends as much as the platform lets any bot send. */
export const benchAck = async () => {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'));
  const place = join(folder, 'figures.json');
  const run = spawnSync(process.execPath, ['node_modules/vitest/vitest.mjs', 'run', '--config', 'tools/vitest.ack.config.ts'], { encoding: 'utf8', env: { ...process.env, ACK_FIGURES: place } });
  if (run.status !== 0) throw new Error(`${run.stdout}\n${run.stderr}`);
  const { idle, busy } = JSON.parse(readFileSync(place, 'utf8'));
  rmSync(folder, { recursive: true, force: true });
  return [
    { what: 'messages sent a second meanwhile', value: busy.perSecond, unit: '/s', goal: 50 },
    { what: 'press acknowledged, at rest, median', value: percentile(idle.ms, 0.5), unit: 'ms' },
    { what: 'press acknowledged, while sending, median', value: percentile(busy.ms, 0.5), unit: 'ms' },
    { what: 'press acknowledged, while sending, 99th percentile', value: percentile(busy.ms, 0.99), unit: 'ms', goal: 300 },
    { what: 'slowest acknowledgement while sending, against the 3 s allowed', ratio: busy.ms.at(-1) / 3000, most: 0.5 },
  ];
};
