// Plays a written week through the practice chat and keeps what was posted as a page of docs/.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const [script = 'tools/rehearsal/week.txt', page = 'docs/week.md'] = process.argv.slice(2);
const typed = readFileSync(script, 'utf8').split('\n').filter((line) => line.trim() !== '' && !line.startsWith('#'));
const folder = mkdtempSync(join(tmpdir(), 'week-'));
const run = spawnSync(process.execPath, ['dist/main.js'], { input: `${typed.join('\n')}\n`, encoding: 'utf8', env: { ...process.env, DATA_DIR: folder, LOG_LEVEL: 'error' } });
rmSync(folder, { recursive: true, force: true });
if (run.status !== 0 || run.stderr !== '') {
  console.error(run.stderr);
  process.exit(1);
}
const text = run.stdout.replaceAll(folder, 'data').trimEnd();
writeFileSync(page, ['# A week at Café Lantern Street', '', 'What the practice chat posted in a rehearsed week; everybody and everything in it is invented. Lines with `>` were typed.', 'Made by `npm run rehearse`.', '', '```', text, '```', ''].join('\n'));
console.log(`${page}: ${text.split('\n').length} lines`);
