import { parentPort } from 'node:worker_threads';
import { DomainError } from '@jarfold/domain';
import { KeptLuck, type KeptPlan, planFacts, planWithAssurance } from '@jarfold/domain/planning';
import type { PlannerAnswer, PlannerQuestion } from './planner-messages.js';

/** The thread in which plans are made: solving takes all of a core, and the event loop must go on answering. */

const port = parentPort;
/** A farm is mostly planned again soon: the night's plan after the day's, a question after another. */
const keptLuck = new KeptLuck();
if (port === null) throw new Error('planner-thread runs as a worker thread only.');

async function answer({ id, situation, chance, grounds, ...options }: PlannerQuestion): Promise<PlannerAnswer> {
  const startedAt = performance.now();
  try {
    const plan = await planWithAssurance(situation, chance, { ...options, keptLuck });
    const { searchShare } = options;
    const kept: KeptPlan = { ...plan, facts: planFacts(situation), grounds, searchShare };
    return { id, ok: true, plan: kept, solveMs: performance.now() - startedAt };
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    return { id, ok: false, code: error instanceof DomainError ? error.code : null, message };
  }
}

port.on('message', (question: PlannerQuestion) => {
  void answer(question).then((reply) => port.postMessage(reply));
});
