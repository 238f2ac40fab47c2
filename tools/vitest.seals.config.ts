import { defineConfig } from 'vitest/config';

// The long simulations of the seals, about twenty minutes of one core; they rewrite docs/results/seal-*.md:
// `npx vitest run --config tools/vitest.seals.config.ts`.
export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/seals/*.long.ts'],
    testTimeout: 3_600_000,
    fileParallelism: false,
  },
});
