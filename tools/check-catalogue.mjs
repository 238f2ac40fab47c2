// Checks config/faults with the compiled code: run `npm run build` first. Exit code 1 when there is something to correct.
import { CHECK_BARS, weaknesses, countsOf } from '../dist/faults/catalogue-check.js';
import { modelFor } from '../dist/faults/catalogue-model.js';
import { modelFaults } from '../dist/faults/check-model.js';
import { missingWords } from '../dist/faults/catalogue-links.js';
import { BrokenCatalogue, readCatalogue } from '../dist/faults/catalogue-read.js';
import { readTexts } from '../dist/words/catalogue.js';

const show = (title, lines) => console.log([`${title}: ${lines.length}`, ...lines.map((line) => `  ${line}`)].join('\n'));

const read = () => {
  try {
    return readCatalogue('config/faults');
  } catch (error) {
    if (!(error instanceof BrokenCatalogue)) throw error;
    console.error(error.message);
    process.exit(1);
  }
};

const catalogue = read();
const english = readTexts('config/words').get('en');
const missing = missingWords(catalogue, (key) => english?.has(key) ?? false);
const weak = weaknesses(catalogue);
const faults = [...new Set(CHECK_BARS.flatMap((bar) => modelFaults(modelFor(catalogue, bar))).map(({ kind, where }) => `${where}: ${kind}`))];
console.log(Object.entries(countsOf(catalogue)).map(([what, count]) => `${what} ${count}`).join(', '));
show('texts missing', missing.map(({ file, key }) => `${file} ${key}`));
for (const kind of ['alike', 'never-wins', 'never-ends', 'nothing-moves', 'answer-idle', 'never-asked', 'danger-elsewhere', 'job-rule'])
  show(kind, weak.filter((each) => each.kind === kind).map(({ where, what, detail }) => `${where} ${what}: ${detail}`));
show('faults in the models', faults);
process.exit(missing.length + weak.length + faults.length > 0 ? 1 : 0);
