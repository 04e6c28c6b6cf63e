import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: ['tests/global-setup.ts'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    // Browser tests each start a browser; more than two workers make them wait for one another.
    maxWorkers: 2,
  },
});
