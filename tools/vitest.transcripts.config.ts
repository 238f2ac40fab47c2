import { defineConfig } from 'vitest/config';

/** Writes docs/transcripts/: not a test, run by hand when the bot's words have changed. */
export default defineConfig({ test: { root: new URL('..', import.meta.url).pathname, include: ['tests/stories/told/write.ts'], testTimeout: 120_000 } });
