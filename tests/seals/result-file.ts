import { writeFileSync } from 'node:fs';

export const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

export const table = (head: readonly string[], rows: readonly (readonly (string | number)[])[]): string =>
  [head, head.map(() => '---'), ...rows].map((row) => `| ${row.join(' | ')} |`).join('\n');

/** Writes a dated result beside the others in docs/results. */
export const writeResult = (name: string, title: string, seeds: string, parts: readonly string[]): void => {
  const date = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' }).format(new Date());
  const head = `${date}, Node ${process.versions.node}, ${seeds}: \`npx vitest run --config tools/vitest.seals.config.ts\`.`;
  const note = 'The simulated truths are assumptions: the figures show what the computation is worth if they hold, not how cafés behave.';
  const text = [`# ${title}`, head, note, ...parts].join('\n\n');
  writeFileSync(new URL(`../../docs/results/${name}.md`, import.meta.url), `${text}\n`);
};
