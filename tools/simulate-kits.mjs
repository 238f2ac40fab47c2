// Simulated visits with the technician's kit, beside the same bag every time and beside everything.
// node tools/simulate-kits.mjs [tours] [book | sizes]: prints a table that docs/results/kits.md holds; `book`: with config/parts.yaml and
// config/faults; `sizes`: the chances of the seal's size beside the shares that were needed.
import { createViteServer } from 'vitest/node';

const tours = Number(process.argv[2] ?? 20_000);
const server = await createViteServer({
  appType: 'custom',
  logLevel: 'error',
  optimizeDeps: { noDiscovery: true },
  server: { middlewareMode: true, hmr: false, ws: false, watch: null },
});
const percent = (share) => `${(100 * share).toFixed(1)} %`;

const sizes = async () => {
  const { calibration, drawVisits, sealKits } = await server.ssrLoadModule('/tests/bookings/size-simulation.ts');
  const { assumed } = await server.ssrLoadModule('/tests/seals/assumed.ts');
  const { seeded } = await server.ssrLoadModule('/tests/seals/random.ts');
  const visits = drawVisits(tours, assumed, seeded(20321));
  console.log('| chance between | sizes | mean chance | needed |\n|---|---|---|---|');
  for (const { from, to, count, predicted, needed } of calibration(visits, [0, 0.02, 0.05, 0.15, 0.3, 0.5, 0.7, 0.9, 0.97, 1])) console.log(`| ${from} and ${to} | ${count} | ${percent(predicted)} | ${percent(needed)} |`);
  console.log('\n| visits | level | promised | finished at once | seals carried |\n|---|---|---|---|---|');
  const row = (name, some, level) => {
    const { promised, finished, pieces } = sealKits(some, level);
    console.log(`| ${name}, ${some.length} | ${level} | ${percent(promised)} | ${percent(finished)} | ${pieces.toFixed(2)} |`);
  };
  for (const level of [0.8, 0.9, 0.95]) row('all', visits, level);
  for (const changes of [0, 1, 2, 3]) row(`after ${changes} changes`, visits.filter((_, i) => i % 4 === changes), 0.9);
};

const tables = async () => {
  const { simulate } = await server.ssrLoadModule('/tests/bookings/kit-simulation.ts');
  const { bookTrade } = await server.ssrLoadModule('/tests/bookings/kit-trade.ts');
  const trade = process.argv[3] === 'book' ? { trade: bookTrade() } : {};
  console.log('| level | chances | could be finished | promised | plan | finished at once | value carried a tour |');
  console.log('|---|---|---|---|---|---|---|');
  for (const overconfidence of [1, 1.5]) {
    for (const level of [0.8, 0.9, 0.95]) {
      const done = simulate({ seed: 20321, tours, level, overconfidence, ...trade });
      for (const { plan, finished, value } of done.results) {
        const told = overconfidence === 1 ? 'true' : 'too sharp';
        console.log(`| ${level} | ${told} | ${percent(done.reachable)} | ${percent(done.promised)} | ${plan} | ${percent(finished)} | ${value.toFixed(0)} |`);
      }
    }
  }
};

try {
  await (process.argv[3] === 'sizes' ? sizes : tables)();
} finally {
  await server.close();
}
