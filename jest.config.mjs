/**
 * The sizes of test:
 *   unit         beside the code (*.spec.ts): pure, no I/O
 *   reference    tests/reference: published values and independent libraries
 *   integration  tests/integration, tests/faults: real PostgreSQL, real processes, faults on purpose
 *   browser      tests/browser: Chromium through the real server
 */
const shared = {
  rootDir: import.meta.dirname,
  testEnvironment: 'node',
  extensionsToTreatAsEsm: ['.ts', '.tsx'],
  transform: {
    '^.+\\.tsx?$': [
      '@swc/jest',
      {
        jsc: {
          target: 'es2022',
          parser: { syntax: 'typescript', tsx: false, decorators: true },
          transform: { legacyDecorator: true, decoratorMetadata: true },
          keepClassNames: true,
        },
        module: { type: 'es6' },
      },
    ],
  },
  moduleNameMapper: {
    '^@jarfold/(domain|contracts|workbook|server)$': '<rootDir>/libs/$1/src/index.ts',
    '^@jarfold/contracts/calculations$': '<rootDir>/libs/contracts/src/calculations.ts',
    '^@jarfold/(domain|server)/(planning|platform)$': '<rootDir>/libs/$1/src/$2/index.ts',
    '^(\\.{1,2}/.*)\\.js$': '$1',
  },
  testPathIgnorePatterns: ['/node_modules/', '/dist/'],
  modulePathIgnorePatterns: ['/dist/', '<rootDir>/tmp/'],
};

/** Pure code keeps nothing between two files, so Node loads it, once for all files of a process. */
const loadedByNode = { ...shared, testRunner: '<rootDir>/tests/runner/run-file.mjs' };

const database = {
  globalSetup: '<rootDir>/tests/support/global-setup.ts',
  globalTeardown: '<rootDir>/tests/support/global-teardown.ts',
};

export default {
  testTimeout: 60_000,
  testSequencer: '<rootDir>/tests/runner/longest-first.mjs',
  projects: [
    {
      ...loadedByNode,
      displayName: 'unit',
      testMatch: ['<rootDir>/libs/*/src/**/*.spec.ts', '<rootDir>/apps/*/src/**/*.spec.ts'],
    },
    { ...loadedByNode, displayName: 'reference', testMatch: ['<rootDir>/tests/reference/**/*.test.ts'] },
    {
      ...shared,
      displayName: 'integration',
      testMatch: ['<rootDir>/tests/integration/**/*.test.ts', '<rootDir>/tests/faults/**/*.test.ts'],
      ...database,
    },
    { ...shared, displayName: 'browser', testMatch: ['<rootDir>/tests/browser/**/*.test.ts'], ...database },
  ],
};
