import { defineConfig } from 'vitest/config';

// The fault engine against the exact programme on 5,000 problems, about five minutes of one core, and its speed; they
// rewrite docs/results/fault-plan.md and fault-speed.md: `npx vitest run --config tools/vitest.plan.config.ts`.
export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/faults/engine/*.long.ts'],
    testTimeout: 3_600_000,
    fileParallelism: false,
  },
});
