// Reckons cases from a file as the chat would: `npm run assess -- case.json [--explain] [--table]`. JSON out; --table a report.
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { assess } from '../dist/faults/assess.js';
import { readCases } from '../dist/faults/case-file.js';
import { createFinder } from '../dist/faults/find.js';
import { readLanguages } from '../dist/faults/languages.js';
import { readCatalogue } from '../dist/faults/catalogue-read.js';

const [file] = process.argv.slice(2).filter((each) => !each.startsWith('--'));
if (file === undefined) {
  console.error('Which case? npm run assess -- case.json [--explain] [--table]');
  process.exit(2);
}
const refuse = (problem) => {
  console.error(problem);
  process.exit(2);
};
if (!existsSync(file)) refuse(`There is no file ${file}.`);
const catalogue = readCatalogue(join('config', 'faults'));
const read = readCases(catalogue, readFileSync(file, 'utf8'));
if (!read.ok) refuse(read.problem);
const { cases, many } = read;
const finder = createFinder(readLanguages(join('config', 'faults', 'phrases')).get('en'), catalogue.symptoms.map(({ id }) => id));
const all = cases.map((each) => ({ given: each, found: assess(catalogue, each, finder) }));

const short = ({ given, found }) => ({
  id: found.id,
  asked: found.asked,
  verdict: found.verdict.kind,
  meanwhile: found.verdict.choice.meanwhile,
  jobs: found.verdict.choice.steps.flatMap(({ jobs }) => jobs),
  likely: found.verdict.likely.slice(0, 3),
  expected: given.expected?.verdict,
  ...(found.judged ? { agrees: found.judged.verdict, safe: found.judged.safe, faults: found.judged.faults } : {}),
});

const percent = (hits, of) => `${hits} of ${of} (${((100 * hits) / of).toFixed(1)} %)`;

if (process.argv.includes('--table')) {
  const judged = all.filter(({ found }) => found.judged);
  const steps = judged.map(({ found }) => found.asked.length).sort((a, b) => a - b);
  const mustStop = judged.filter(({ given }) => given.expected.safe.mustStop || given.expected.safe.noHandsOn);
  console.log(`| | |\n|---|---|`);
  console.log(`| verdict as judged | ${percent(judged.filter(({ found }) => found.judged.verdict).length, judged.length)} |`);
  console.log(`| safe, all cases | ${percent(judged.filter(({ found }) => found.judged.safe).length, judged.length)} |`);
  console.log(`| safe, of those where use must stop or no hands may go | ${percent(mustStop.filter(({ found }) => found.judged.safe).length, mustStop.length)} |`);
  console.log(`| true cause the likeliest | ${percent(judged.filter(({ given, found }) => found.verdict.likely[0]?.cause.split('+').some((part) => catalogue.causes.find(({ id }) => id === part)?.id === given.trueCause || catalogue.causes.find(({ id }) => id === part)?.code === given.trueCause)).length, judged.length)} |`);
  console.log(`| questions asked, median, most | ${steps[Math.floor(steps.length / 2)]}, ${steps.at(-1)} |\n`);
  console.log('| case | questions | expected | found | agrees | safe |\n|---|---|---|---|---|---|');
  for (const { given, found } of judged)
    console.log(`| ${found.id} | ${found.asked.length} | ${[given.expected.verdict, ...(given.expected.also ?? [])].join(' or ')} | ${found.verdict.kind} | ${found.judged.verdict ? 'yes' : '**no**'} | ${found.judged.safe ? 'yes' : `**no: ${found.judged.faults.join(', ')}**`} |`);
} else {
  const out = all.map((each) => (process.argv.includes('--explain') ? each.found : short(each)));
  console.log(JSON.stringify(many ? out : out[0], null, 2));
}
