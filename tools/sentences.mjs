// How many sentences find their complaint: a table per file of tests/faults/find. `node tools/sentences.mjs [--held-out]` after a build.
// The held-out files are measured only when asked for: nothing is tuned on them.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readCatalogue } from '../dist/faults/catalogue-read.js';
import { dangerIn } from '../dist/faults/danger-words.js';
import { createFinder } from '../dist/faults/find.js';
import { readLanguages } from '../dist/faults/languages.js';

const symptoms = readCatalogue(join('config', 'faults')).symptoms.map(({ id }) => id);
const languages = readLanguages(join('config', 'faults', 'phrases'));
const read = (file) => JSON.parse(readFileSync(join('tests', 'faults', 'find', `${file}.json`), 'utf8'));
const heldOut = process.argv.includes('--held-out');
const share = (hits, all) => (all === 0 ? '-' : `${hits} of ${all} (${((100 * hits) / all).toFixed(1)} %)`);

console.log('| sentences | right first | among three | taken for another without asking | danger noticed |\n|---|---|---|---|---|');
for (const [file, language] of [['open-sentences', 'en'], ['open-more', 'en'], ['held-out-sentences', 'en'], ['open-italian', 'it'], ['held-out-italian', 'it']]) {
  if (!heldOut && file.startsWith('held-out')) continue;
  const finder = createFinder(languages.get(language), symptoms);
  const all = read(file).map((each) => {
    const right = [each.symptom, ...(each.also ?? [])];
    const found = finder.find(each.text);
    return { danger: each.danger === true, told: dangerIn(each.text, languages.get(language)) !== undefined, rank: finder.ranked(each.text).findIndex(({ symptom }) => right.includes(symptom)), mistaken: found.kind === 'sure' && !right.includes(found.symptom) };
  });
  const count = (of) => all.filter(of).length;
  console.log(`| ${file} | ${share(count(({ rank }) => rank === 0), all.length)} | ${share(count(({ rank }) => rank >= 0 && rank < 3), all.length)} | ${share(count(({ mistaken }) => mistaken), all.length)} | ${share(count(({ danger, told }) => danger && told), count(({ danger }) => danger))} |`);
}
console.log('\n| bar chat | questions started unasked | safety steps without a word of danger |\n|---|---|---|');
for (const file of ['bar-chat', 'held-out-bar-chat']) {
  if (!heldOut && file.startsWith('held-out')) continue;
  const finder = createFinder(languages.get('en'), symptoms);
  const all = read(file);
  console.log(`| ${file} | ${share(all.filter(({ text }) => finder.find(text).kind === 'sure').length, all.length)} | ${share(all.filter(({ text, safetyWord }) => !safetyWord && dangerIn(text, languages.get('en'))).length, all.length)} |`);
}
