/**
 * What a test file gets from `@jest/globals` when Node itself loads it. Helpers stay loaded from one test file to the
 * next, so each word passes on to whatever the runner made for the file that is running.
 */
const TIMEOUT = Symbol.for('TEST_TIMEOUT_SYMBOL'); // where Jest's runner looks for it

let words;

/** Called by the runner before it loads a test file. */
export function speak(next) {
  words = next;
  delete globalThis[TIMEOUT];
}

const passedOn = (word) =>
  new Proxy(() => undefined, {
    apply: (_, self, args) => Reflect.apply(words[word], self, args),
    get: (_, name) => words[word][name],
  });

export const afterAll = passedOn('afterAll');
export const afterEach = passedOn('afterEach');
export const beforeAll = passedOn('beforeAll');
export const beforeEach = passedOn('beforeEach');
export const describe = passedOn('describe');
export const expect = passedOn('expect');
export const it = passedOn('it');
export const test = passedOn('test');

/** No mocks: the modules are real, and shared between test files. */
export const jest = {
  setTimeout: (ms) => {
    globalThis[TIMEOUT] = ms;
  },
};
