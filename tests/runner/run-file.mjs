/**
 * Runs one test file with Jest's own runner, but lets Node load the file and everything it imports. Jest's sandbox would
 * load every library again for every file and look behind every global: most of the time of a short file, a third of a
 * long one. So the modules are shared between the files that one process runs, which suits code that keeps nothing
 * between two calls; a test file itself is loaded once, and what it did to the process is undone.
 */
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { speak } from './globals.mjs';
import './source-loader.mjs';

const require = createRequire(import.meta.url);
const { default: runWithCircus } = require('jest-circus/runner');
const HANDLERS = Symbol.for('EVENT_HANDLERS');

// The lines in a stack are those of the sources.
process.setSourceMapsEnabled(true);

export default async function runFile(globalConfig, config, environment, _sandbox, testPath, sendMessage) {
  const restore = remember(environment.global.console);
  // Jest has set its own reader of source maps, which knows what its sandbox loaded only.
  Error.prepareStackTrace = undefined;
  try {
    const place = { global: environment.global, handleTestEvent };
    return await runWithCircus(globalConfig, config, place, plainRuntime(), testPath, sendMessage);
  } finally {
    restore();
  }
}

/** A stack is to name the test: without the lines of this folder, and with those that Jest hides as nobody's. */
function handleTestEvent({ name, test }) {
  if (name !== 'test_done') return;
  for (const error of test.errors.flat()) {
    for (let each = error; each instanceof Error; each = each.cause) each.stack = withoutRunner(each.stack ?? '');
  }
}

function withoutRunner(stack) {
  const lines = stack.split('\n').filter((line) => !(/^ +at /.test(line) && line.includes(import.meta.dirname)));
  return lines.map((line) => line.replace(/^( +at )<anonymous> \(/, '$1Object.<anonymous> (')).join('\n');
}

/** What Jest's runner asks of a sandbox, answered by Node. */
function plainRuntime() {
  return {
    requireInternalModule: (path) => {
      // The tests of the file before are forgotten with the module and its list of listeners.
      delete require.cache[path];
      delete globalThis[HANDLERS];
      return require(path);
    },
    requireModule: require,
    setGlobalsForRuntime: speak,
    unstable_shouldLoadAsEsm: () => true,
    unstable_importModule: (path) => import(pathToFileURL(path).href),
    enterTestCode: () => undefined,
    leaveTestCode: () => undefined,
  };
}

/** A file may change the environment and the console; ending the process would end the files behind it unrun. */
function remember(fileConsole) {
  const env = { ...process.env };
  const { exit } = process;
  const folder = process.cwd();
  const { console, fetch } = globalThis;
  globalThis.console = fileConsole;
  process.exit = (code) => {
    throw new Error(`A test ended its process with ${code}.`);
  };
  return () => {
    for (const name of Object.keys(process.env)) if (!(name in env)) delete process.env[name];
    Object.assign(process.env, env);
    Object.assign(globalThis, { console, fetch });
    process.exit = exit;
    process.chdir(folder);
  };
}
