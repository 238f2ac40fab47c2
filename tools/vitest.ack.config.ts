import { defineConfig } from 'vitest/config';

/** The measurement of acknowledgements: not a test, run by `npm run bench`. */
export default defineConfig({ test: { root: new URL('..', import.meta.url).pathname, include: ['tests/discord/ack.bench.ts'], testTimeout: 120_000, hookTimeout: 60_000 } });
