import { defineConfig } from 'vitest/config';

export default defineConfig({
  // The project keeps no state in modules, so test files may share them: loading them anew for each took a third of the time.
  test: { include: ['tests/**/*.test.ts'], isolate: false, testTimeout: 120_000, hookTimeout: 60_000 },
});
