// Measurements: each figure beside its goal. A missed ratio fails the command; absolute figures are reported only.
import { cpus } from 'node:os';
import { report } from './bench/figures.mjs';
import { benchAck } from './bench/ack.mjs';
import { benchAsk } from './bench/ask.mjs';
import { benchNext } from './bench/next.mjs';
import { benchStart } from './bench/start.mjs';
import { benchTick, benchTickServer } from './bench/tick.mjs';

console.log(`node ${process.version}, ${cpus().length} cores, ${new Date().toISOString().slice(0, 10)}`);
let missed = 0;
for (const bench of [benchStart, benchTick, benchTickServer, benchNext, benchAsk, benchAck]) missed += report(await bench());
console.log(missed === 0 ? 'all ratios within their limits' : `${missed} ratios missed`);
process.exit(missed === 0 ? 0 : 1);
