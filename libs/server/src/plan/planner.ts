import { Worker } from 'node:worker_threads';
import { DomainError } from '@jarfold/domain';
import type { FarmSituation, KeptPlan } from '@jarfold/domain/planning';
import { AppError } from '../platform/index.js';
import type { GroundedChance } from './farm-chance.mapper.js';
import { type PlanEffort, planEfforts } from './plan-effort.js';
import type { PlannerAnswer, PlannerQuestion } from './planner-messages.js';

/** How sure a grower wants to be, how its spawn departs from what is expected, and where that is from. */
export interface PlanWishes extends GroundedChance {
  readonly assurance: number;
}

export interface MadePlan {
  readonly plan: KeptPlan;
  readonly solveMs: number;
}

interface Waiting {
  readonly resolve: (made: MadePlan) => void;
  readonly reject: (error: Error) => void;
  readonly timer: NodeJS.Timeout;
}

/** A plan that takes longer is given up: the thread is ended and the next question gets a new one. */
const TIME_LIMIT_MS = 60_000;
/** Above what the largest farm was measured to need, so that a runaway solve ends itself and not the process. */
const HEAP_LIMIT_MB = 768;

/** Where the compiled thread lies: beside this file, or in dist when this file runs from its source in a test. */
function threadFile(): URL {
  const fromSource = import.meta.url.endsWith('.ts');
  return new URL(fromSource ? '../../dist/plan/planner-thread.js' : './planner-thread.js', import.meta.url);
}

/**
 * Makes plans in one worker thread, started when it is first needed and kept warm. One thread and not a pool: planning
 * is bound by the processor, and the bench and the screens need the other cores.
 */
export class Planner {
  private thread: Worker | null = null;
  private lastId = 0;
  private readonly waiting = new Map<number, Waiting>();

  /**
   * @throws DomainError what the planner found wrong with the situation
   * @throws AppError `unavailable` when the thread died or took too long; nothing was changed
   */
  plan(situation: FarmSituation, effort: PlanEffort, wishes: PlanWishes): Promise<MadePlan> {
    const thread = this.startedThread();
    this.lastId += 1;
    const id = this.lastId;
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => this.giveUp(thread, 'The plan took too long to make.'), TIME_LIMIT_MS);
      this.waiting.set(id, { resolve, reject, timer });
      thread.ref();
      const question: PlannerQuestion = { id, situation, ...planEfforts[effort], ...wishes };
      thread.postMessage(question);
    });
  }

  /** Starts the thread ahead of the first question, so that it has read its code by then. */
  warmUp(): void {
    this.startedThread().unref();
  }

  /** Ends the thread; questions still waiting are rejected. */
  async close(): Promise<void> {
    const thread = this.thread;
    if (thread) await this.giveUp(thread, 'The planner is closing.');
  }

  private startedThread(): Worker {
    if (this.thread) return this.thread;
    const thread = new Worker(threadFile(), { resourceLimits: { maxOldGenerationSizeMb: HEAP_LIMIT_MB } });
    thread.on('message', (answer: PlannerAnswer) => this.settle(answer));
    thread.on('error', (error) => void this.giveUp(thread, `The planner stopped: ${error.message}`));
    thread.on('exit', () => void this.giveUp(thread, 'The planner stopped.'));
    this.thread = thread;
    return thread;
  }

  private settle(answer: PlannerAnswer): void {
    const asked = this.waiting.get(answer.id);
    if (!asked) return;
    this.waiting.delete(answer.id);
    clearTimeout(asked.timer);
    // An idle thread must not keep the process alive.
    if (this.waiting.size === 0) this.thread?.unref();
    if (answer.ok) asked.resolve({ plan: answer.plan, solveMs: answer.solveMs });
    else asked.reject(asError(answer));
  }

  private async giveUp(thread: Worker, sentence: string): Promise<void> {
    if (this.thread !== thread) return;
    this.thread = null;
    const abandoned = [...this.waiting.values()];
    this.waiting.clear();
    for (const { timer, reject } of abandoned) {
      clearTimeout(timer);
      reject(new AppError('unavailable', `${sentence} No plan was changed; try again.`));
    }
    await thread.terminate();
  }
}

function asError({ code, message }: Extract<PlannerAnswer, { ok: false }>): Error {
  return code === null ? new Error(`The planner failed: ${message}`) : new DomainError(code, message);
}
