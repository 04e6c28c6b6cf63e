import { defineConfig } from 'vitest/config';
import { saySkipped } from './tests/support/say-skipped.ts';

/** Only against what hangs: no test is judged by the clock, as the machine may be slow or busy. */
const HANGS_MS = 15 * 60_000;

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: ['tests/global-setup.ts'],
    setupFiles: ['tests/support/each-file.ts'],
    reporters: ['default', saySkipped],
    testTimeout: HANGS_MS,
    hookTimeout: HANGS_MS,
    teardownTimeout: HANGS_MS,
    // Browser tests each start a browser; more than two workers make them wait for one another.
    maxWorkers: 2,
  },
});
