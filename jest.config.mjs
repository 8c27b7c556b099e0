/**
 * The sizes of test, one runner (tests/runner):
 *   unit         beside the code (*.spec.ts): pure, no I/O
 *   reference    tests/reference: published values and independent libraries
 *   integration  tests/integration, tests/faults: real PostgreSQL, real processes, faults on purpose
 *   browser      tests/browser: Chromium through the real server
 */
const shared = {
  rootDir: import.meta.dirname,
  testEnvironment: 'node',
  testRunner: '<rootDir>/tests/runner/run-file.mjs',
  // For what prepares a run; the test files and what they import are loaded by tests/runner.
  transform: { '^.+\\.ts$': ['@swc/jest', { jsc: { target: 'es2022', parser: { syntax: 'typescript' } } }] },
  testPathIgnorePatterns: ['/node_modules/', '/dist/'],
  modulePathIgnorePatterns: ['/dist/', '<rootDir>/tmp/'],
};

const database = {
  globalSetup: '<rootDir>/tests/support/global-setup.ts',
  globalTeardown: '<rootDir>/tests/support/global-teardown.ts',
};

export default {
  testTimeout: 60_000,
  testSequencer: '<rootDir>/tests/runner/longest-first.mjs',
  projects: [
    {
      ...shared,
      displayName: 'unit',
      testMatch: ['<rootDir>/libs/*/src/**/*.spec.ts', '<rootDir>/apps/*/src/**/*.spec.ts'],
    },
    { ...shared, displayName: 'reference', testMatch: ['<rootDir>/tests/reference/**/*.test.ts'] },
    {
      ...shared,
      displayName: 'integration',
      testMatch: ['<rootDir>/tests/integration/**/*.test.ts', '<rootDir>/tests/faults/**/*.test.ts'],
      ...database,
    },
    { ...shared, displayName: 'browser', testMatch: ['<rootDir>/tests/browser/**/*.test.ts'], ...database },
  ],
};
