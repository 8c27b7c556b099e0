import type { KeptPlan } from '@jarfold/domain/planning';
import { KeptByFarm } from '../platform/index.js';

/**
 * Plans that were made at a glance only to stand beside what is supposed: the one of each farm that last asked. Whoever
 * supposes one thing supposes the next, and most facts stay the same meanwhile.
 */
export class GlancedPlans {
  readonly #kept = new KeptByFarm<Promise<KeptPlan>>();

  /**
   * @param of names all that the plan depends on
   * @param make makes it, where it is not there; what failed is not kept
   */
  plan(growerId: string, of: string, make: () => Promise<KeptPlan>): Promise<KeptPlan> {
    const kept = this.#kept.find(growerId, of);
    if (kept !== undefined) return kept;
    const plan = make();
    this.#kept.keep(growerId, of, plan);
    plan.catch(() => this.#kept.drop(growerId, plan));
    return plan;
  }
}
