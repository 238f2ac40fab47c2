// Random ways through the whole fault catalogue: node tools/walk-catalogue.mjs [walks] [seed], after `npm run build`.
import { performance } from 'node:perf_hooks';
import { CHECK_BARS } from '../dist/faults/catalogue-check.js';
import { modelFor } from '../dist/faults/catalogue-model.js';
import { readCatalogue } from '../dist/faults/catalogue-read.js';
import { planWalks, reportOf } from '../dist/faults/catalogue-walk.js';

const [walks = 5000, seed = 1] = process.argv.slice(2).map(Number);
const catalogue = readCatalogue('config/faults');
const started = performance.now();
const done = planWalks(CHECK_BARS.map((bar) => modelFor(catalogue, bar)), walks, seed);
const { breaches, longest, ends, ...counts } = reportOf(done);
console.log(`seed ${seed}`, counts, ends);
console.log(`longest: ${longest?.symptom}, ${longest?.cause}: ${longest?.readings.map((reading) => reading.question ?? reading.job).join(', ')}`);
console.log(`${((performance.now() - started) / walks).toFixed(1)} ms a walk`);
for (const { rule, what } of breaches) console.log(`breach: ${rule} ${what}`);
process.exit(breaches.length > 0 ? 1 : 0);
