import { defineConfig } from 'vitest/config';

const NEEDS_DATABASE = ['tests/**/*.db.test.ts'];
const NEEDS_BROWSER = ['tests/**/*.browser.test.ts'];

export default defineConfig({
  test: {
    passWithNoTests: false,
    projects: [
      { test: { name: 'unit', include: ['tests/**/*.test.ts'], exclude: [...NEEDS_DATABASE, ...NEEDS_BROWSER], testTimeout: 30_000 } },
      { test: { name: 'db', include: NEEDS_DATABASE, globalSetup: ['tests/support/database-server.ts'], testTimeout: 60_000, hookTimeout: 60_000, fileParallelism: false } },
      { test: { name: 'browser', include: NEEDS_BROWSER, globalSetup: ['tests/support/database-server.ts'], testTimeout: 90_000, hookTimeout: 90_000, fileParallelism: false } },
    ],
  },
});
