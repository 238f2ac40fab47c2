import { defineConfig } from 'vitest/config';

// The long checks, minutes of one core: `npx vitest run --config tools/vitest.grid.config.ts`.
export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/grid/**/*.grid.ts'],
    testTimeout: 1_800_000,
    fileParallelism: false,
  },
});
