// Which folder may import which. Run by `npm run check`; plants a forbidden import first and expects to be refused.
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';

const FOUNDATION = ['time', 'words', 'store', 'chat'];
const SUBJECTS = ['cafe', 'parts', 'routine', 'water', 'seals', 'faults', 'bookings', 'reports'];
const PURE = /^(time|water)\/|^(cafe\/(hours.*|roles|set-up)|routine\/(answer|fire|reply)|seals\/(fit|life|drift|inspection|job-card|card-fit|card-gate|card-rules|card-texts|card-words|cards-config)|faults\/(model|belief|prior|plan|next-question|safety|verdict|learn)|bookings\/(booking|urgency|times|kit|route)|parts\/(ledger|reorder)|chat\/(message|press|pages|limits|who))\.ts$/;
const WITHIN = {
  time: ['time'], chat: ['chat', 'time'], words: ['words', 'time', 'chat'], store: ['store', 'time', 'chat'],
  delivery: [...FOUNDATION, 'delivery', 'cafe'], terminal: null, discord: null, '': null,
};
/** Names that only the outer files may import. */
const OUTSIDE = { 'discord.js': ['discord'], 'better-sqlite3': ['store'], pg: ['store'], 'node-cron': [''], kysely: ['store', ...SUBJECTS, 'delivery'] };

const folderOf = (file) => (file.includes('/') ? file.split('/')[0] : '');
const filesBelow = (folder) => readdirSync(folder, { withFileTypes: true }).flatMap((entry) => (entry.isDirectory() ? filesBelow(join(folder, entry.name)) : entry.name.endsWith('.ts') ? [join(folder, entry.name)] : []));
const IMPORT = /(?:^|\n)\s*(?:import|export)\s+(type\s+)?(?:[^'";]*?\sfrom\s+)?'([^']+)'|\bimport\(\s*'([^']+)'\s*\)/g;

const allowed = (from) => {
  if (from in WITHIN) return WITHIN[from];
  const place = SUBJECTS.indexOf(from);
  return place < 0 ? null : [...FOUNDATION, ...SUBJECTS.slice(0, place + 1)];
};

export const problemsIn = (file, text, root = 'src') => {
  const inside = relative(root, file);
  const from = folderOf(inside);
  const may = allowed(from);
  return [...text.matchAll(IMPORT)].flatMap((found) => {
    const name = found[2] ?? found[3];
    if (!name.startsWith('.')) {
      const bare = Object.keys(OUTSIDE).find((each) => name === each || name.startsWith(`${each}/`));
      if (bare && !OUTSIDE[bare].includes(from)) return [`${file}: ${name} may not be imported from ${from || 'the top'}`];
      if (PURE.test(inside) && /^(node:|pino|kysely)/.test(name) && !found[1]) return [`${file}: a pure file may not import ${name}`];
      return [];
    }
    const target = relative(root, resolve(dirname(file), name));
    const to = folderOf(target);
    if (may !== null && !may.includes(to)) return [`${file}: ${from} may not import ${to || 'the top'} (${name})`];
    if (PURE.test(inside) && /(records|views|store\/|words\/catalogue)/.test(target) && !found[1]) return [`${file}: a pure file may not import ${target}`];
    return [];
  });
};

const planted = ["import { x } from '../seals/records.ts';", "import type { y } from '../bookings/booking.ts';", "export { z } from '../faults/model.ts';", "const a = await import('../terminal/run.ts');", "import 'discord.js';"];
const missed = planted.filter((line) => problemsIn('src/routine/fire.ts', `\n${line}\n`).length === 0);
if (missed.length > 0) {
  console.error(`the import rules do not see: ${missed.join(' ')}`);
  process.exit(1);
}
const files = filesBelow('src');
const problems = files.flatMap((file) => problemsIn(file, readFileSync(file, 'utf8')));
for (const problem of problems) console.error(problem);
console.log(`import rules: ${files.length} files, ${problems.length} problems`);
process.exit(problems.length > 0 || files.length < 10 ? 1 : 0);
