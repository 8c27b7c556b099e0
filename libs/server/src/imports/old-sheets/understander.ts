import { Worker } from 'node:worker_threads';
import { AppError } from '../../platform/index.js';
import { type Understanding, type UnderstandingQuestion, understandHere } from './understand-here.js';

/** Understands one file at a time. */
export type Understand = (question: UnderstandingQuestion) => Promise<Understanding>;

/** In the process that asks: for a worker, where nobody waits for anything else. */
export const understandInline: Understand = async (question) => understandHere(question);

type Answer =
  | { readonly ok: true; readonly understanding: Understanding }
  | { readonly ok: false; readonly message: string };

/** More than the largest file that is read takes. */
const HEAP_LIMIT_MB = 512;

/** Where the compiled thread lies: beside this file, or in dist when this file runs from its source in a test. */
function threadFile(): URL {
  const fromSource = import.meta.url.endsWith('.ts');
  const name = 'understanding-thread.js';
  return new URL(fromSource ? `../../../dist/imports/old-sheets/${name}` : `./${name}`, import.meta.url);
}

/**
 * Understands files in a thread of its own, so that whoever else asks this process something is answered meanwhile. The
 * thread lasts for one file: what a file leaves in memory goes with it.
 * @throws AppError `unavailable` when the thread died
 */
export const understandInThread: Understand = async (question) => {
  const thread = new Worker(threadFile(), { resourceLimits: { maxOldGenerationSizeMb: HEAP_LIMIT_MB } });
  try {
    const answer = await new Promise<Answer>((resolve, reject) => {
      const stopped = (why: string) => () => reject(new AppError('unavailable', `Reading the file stopped: ${why}.`));
      thread.once('message', resolve);
      thread.once('error', (error) => stopped(error.message)());
      thread.once('exit', stopped('its thread ended'));
      thread.postMessage(question);
    });
    if (!answer.ok) throw new Error(`A file could not be understood: ${answer.message}`);
    return answer.understanding;
  } finally {
    await thread.terminate();
  }
};
