import type { KeptPlan } from '@jarfold/domain/planning';

/** So many farms ask what would be if within a while on one service; a plan of a large farm is some hundred kilobytes. */
const MOST_FARMS = 16;

/**
 * Plans that were made at a glance only to stand beside what is supposed: the one of each farm that last asked. Whoever
 * supposes one thing supposes the next, and most facts stay the same meanwhile.
 */
export class GlancedPlans {
  readonly #byFarm = new Map<string, { readonly of: string; readonly plan: Promise<KeptPlan> }>();

  /**
   * @param of names all that the plan depends on
   * @param make makes it, where it is not there; what failed is not kept
   */
  plan(growerId: string, of: string, make: () => Promise<KeptPlan>): Promise<KeptPlan> {
    const there = this.#byFarm.get(growerId);
    const plan = there?.of === of ? there.plan : make();
    // Put behind the others: the farm that did not ask for longest goes first.
    this.#byFarm.delete(growerId);
    this.#byFarm.set(growerId, { of, plan });
    plan.catch(() => {
      if (this.#byFarm.get(growerId)?.plan === plan) this.#byFarm.delete(growerId);
    });
    const [oldest] = this.#byFarm.keys();
    if (this.#byFarm.size > MOST_FARMS && oldest !== undefined) this.#byFarm.delete(oldest);
    return plan;
  }
}
