import { parentPort } from 'node:worker_threads';
import { type UnderstandingQuestion, understandHere } from './understand-here.js';

/** The thread in which files are understood: it takes half a second for thousands of rows, and tablets wait for nobody. */

const port = parentPort;
if (port === null) throw new Error('understanding-thread runs as a worker thread only.');

port.on('message', (question: UnderstandingQuestion) => {
  try {
    port.postMessage({ ok: true, understanding: understandHere(question) });
  } catch (error) {
    port.postMessage({ ok: false, message: error instanceof Error ? (error.stack ?? error.message) : String(error) });
  }
});
