import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { median } from './figures.mjs';

/** What stands behind `node` in the command that people start the bot with. */
const started = /exec node (.+)$/.exec(JSON.parse(readFileSync('package.json', 'utf8')).scripts.start)[1].split(' ');

/** From start to the first line of the practice chat, and the memory the process then holds. */
const once = () =>
  new Promise((resolve, reject) => {
    const folder = mkdtempSync(join(tmpdir(), 'bench-'));
    const from = performance.now();
    const child = spawn(process.execPath, started, { env: { ...process.env, DATA_DIR: folder }, stdio: ['pipe', 'pipe', 'inherit'] });
    child.stdout.once('data', () => {
      const ms = performance.now() - from;
      const rss = Number(spawnSync('ps', ['-o', 'rss=', '-p', String(child.pid)], { encoding: 'utf8' }).stdout) / 1024;
      child.stdin.end('quit\n');
      child.once('exit', () => {
        rmSync(folder, { recursive: true, force: true });
        resolve({ ms, rss });
      });
    });
    child.once('error', reject);
  });

const empty = () => {
  const from = performance.now();
  spawnSync(process.execPath, ['-e', '0']);
  return performance.now() - from;
};

export const benchStart = async () => {
  const runs = [];
  for (let i = 0; i < 5; i++) runs.push(await once());
  const bare = median(Array.from({ length: 5 }, empty));
  const ms = median(runs.map((run) => run.ms));
  return [
    { what: 'start to first line, built, embedded', value: ms, unit: 'ms', goal: 1500 },
    { what: 'start, against a node process that does nothing', ratio: ms / bare, most: 60 },
    { what: 'memory after start', value: median(runs.map((run) => run.rss)), unit: 'MB', goal: 150 },
  ];
};
