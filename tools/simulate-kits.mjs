// Simulated visits with the technician's kit, beside the same bag every time and beside everything.
// node tools/simulate-kits.mjs [tours] [book]: prints a table that docs/results/kits.md holds; `book`: with config/parts.yaml and config/faults.
import { createViteServer } from 'vitest/node';

const tours = Number(process.argv[2] ?? 20_000);
const server = await createViteServer({
  appType: 'custom',
  logLevel: 'error',
  optimizeDeps: { noDiscovery: true },
  server: { middlewareMode: true, hmr: false, ws: false, watch: null },
});
try {
  const { simulate } = await server.ssrLoadModule('/tests/bookings/kit-simulation.ts');
  const { bookTrade } = await server.ssrLoadModule('/tests/bookings/kit-trade.ts');
  const trade = process.argv[3] === 'book' ? { trade: bookTrade() } : {};
  const percent = (share) => `${(100 * share).toFixed(1)} %`;
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
} finally {
  await server.close();
}
