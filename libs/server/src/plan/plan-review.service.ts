import type {
  AcceptPlan,
  ChangesSince,
  NewestReview,
  PinnedStart,
  PlanReview,
  Replanned,
  WhatIf,
  WhatIfAnswer,
  WhatIfReady,
} from '@jarfold/contracts';
import { addDays, calendarDayAt, DomainError } from '@jarfold/domain';
import {
  type ComparedPlan,
  type KeptPlan,
  planChanges,
  planFacts,
  type Supposition,
  supposed,
} from '@jarfold/domain/planning';
import { readSettings } from '../farm/index.js';
import { enqueueReplan } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { GlancedPlans } from './glanced-plans.js';
import { readNames } from './names.repository.js';
import { planInWords } from './names-in-words.js';
import { lockPlans, markAccepted, newestPlan, planBefore, planUntil, type StoredPlanRow } from './plan.repository.js';
import { newestFacts, type PlanService, type ReadFacts } from './plan.service.js';
import { isAsAtAGlance } from './plan-effort.js';
import { changesInNames, changesJson, reviewJson } from './plan-review.mapper.js';
import type { Planner } from './planner.js';
import { readStanding } from './standing.js';
import { listPins, putPin, readAssurance, takePin, writeAssurance } from './standing.repository.js';
import { supposition } from './suppositions.js';

/** Living with a plan: agreeing on it, holding starts, seeing what changed and why, asking what would be if. */
export class PlanReviewService {
  private readonly glanced = new GlancedPlans();

  constructor(
    private readonly growerDb: GrowerDb,
    private readonly plans: PlanService,
    private readonly planner: Planner,
    private readonly clock: Clock,
  ) {}

  async newest(ctx: GrowerContext): Promise<NewestReview> {
    return this.growerDb.read(ctx, async (tx) => ({
      review: await this.reviewIn(tx, ctx),
      assurance: await readAssurance(tx, ctx.growerId),
    }));
  }

  /**
   * Agrees on the newest plan. Twice is once.
   * @throws AppError `not-found`, `rule-refused` when a newer plan has been made
   */
  async accept(ctx: GrowerContext, { planId }: AcceptPlan): Promise<NewestReview> {
    await this.growerDb.run(ctx, async (tx) => {
      await lockPlans(tx, ctx.growerId);
      const newest = await newestPlan(tx, ctx.growerId);
      if (newest === null) throw new AppError('not-found', 'There is no plan on this farm yet.');
      if (newest.id !== planId)
        throw new AppError('rule-refused', 'A newer plan has been made since; look at it and accept that one.');
      if (newest.status !== 'accepted')
        await markAccepted(tx, ctx.growerId, planId, { at: this.clock.now(), staffId: ctx.staffId });
    });
    return this.newest(ctx);
  }

  /**
   * Holds a start at a count, or lets it go, and plans anew.
   * @throws AppError `rule-refused` for a day gone by or a strain or size that is not on this farm
   */
  async pin(ctx: GrowerContext, { containers, ...start }: PinnedStart): Promise<Replanned> {
    await this.growerDb.run(ctx, async (tx) => {
      if (start.benchDay < (await this.today(tx, ctx)))
        throw new AppError('rule-refused', `${start.benchDay} has gone by; a start of it can be held no more.`);
      if (containers === null) await takePin(tx, ctx.growerId, start);
      else {
        await requirePinnable(tx, ctx, start);
        const pinned = { pinnedAt: this.clock.now(), pinnedBy: ctx.staffId };
        await putPin(tx, ctx.growerId, { ...start, containers, ...pinned });
      }
      await enqueueReplan(tx, ctx, 'farm-changed');
    });
    return this.plans.replan(ctx);
  }

  /** Sets how sure the grower wants to be, and plans anew. */
  async assure(ctx: GrowerContext, assurance: number): Promise<Replanned> {
    await this.growerDb.run(ctx, async (tx) => {
      await writeAssurance(tx, ctx.growerId, assurance);
      await enqueueReplan(tx, ctx, 'farm-changed');
    });
    return this.plans.replan(ctx);
  }

  /** What the newest plan does otherwise than the one of so many days before; with 0 days, than the one before it. */
  async changes(ctx: GrowerContext, days: number): Promise<ChangesSince> {
    return this.growerDb.read(ctx, async (tx) => {
      const now = await newestPlan(tx, ctx.growerId);
      const before = now && (await earlierPlan(tx, ctx.growerId, now, days));
      if (now === null || before === null) return { changes: null };
      const names = await readNames(tx, ctx.growerId);
      const changes = planChanges(compared(before.plan), compared(now.plan));
      return { changes: changesJson(before, now, changes, names) };
    });
  }

  /**
   * The plan that stands beside what it would become, which is looked for near it and at a glance, so that the answer
   * comes while somebody waits. A plan that was looked for longer, or that new facts have overtaken, is made again at a
   * glance: else the difference in looking would pass for what is supposed. Nothing is kept.
   * @throws AppError `rule-refused` when it supposes something of what is not there; `role-too-low` for a hand who supposes
   * somebody away; `unavailable`
   */
  async whatIf(ctx: GrowerContext, { suppose }: WhatIf): Promise<WhatIfAnswer> {
    const facts = await this.plans.readFacts(ctx);
    const { names, currency, suppositions } = await this.growerDb.read(ctx, async (tx) => ({
      names: await readNames(tx, ctx.growerId),
      currency: (await readSettings(tx, ctx.growerId)).currency,
      suppositions: await Promise.all(suppose.map((each) => supposition(tx, ctx, each))),
    }));
    const changed = this.supposedOf(facts.situation, suppositions);
    const now = await this.standingPlan(ctx, facts);
    const then = await this.planner.plan(changed, 'glance', facts.wishes);
    const changes = planChanges(
      { plan: now, facts: planFacts(facts.situation) },
      { plan: then.plan, facts: planFacts(changed) },
    );
    const { starts, runs } = changesInNames(changes, (id) => names.get(id) ?? id);
    return {
      starts,
      runs,
      currency,
      costNow: now.cost,
      costIf: then.plan.cost,
      metNow: metOf(now),
      metIf: metOf(then.plan),
      runsNow: now.runs.length,
      runsIf: then.plan.runs.length,
      impossible: planInWords(then.plan, names).impossible.map((each) => ({ ...each })),
    };
  }

  /**
   * Makes the plan that stands at a glance where it was looked for longer, as a plan of the night is, so that what is
   * supposed next takes one plan and not two.
   * @throws AppError `unavailable`
   */
  async readyForWhatIf(ctx: GrowerContext): Promise<WhatIfReady> {
    await this.standingPlan(ctx, await this.plans.readFacts(ctx));
    return { ready: true };
  }

  private async standingPlan(ctx: GrowerContext, { situation, wishes, digest }: ReadFacts): Promise<KeptPlan> {
    const stored = await this.growerDb.read(ctx, (tx) => newestPlan(tx, ctx.growerId));
    if (stored !== null && stored.situationDigest === digest && isAsAtAGlance(stored.plan)) return stored.plan;
    // The digest leaves out which plan's starts stand and whether they are agreed on.
    const of = [digest, stored?.id, stored?.status].join(' ');
    return this.glanced.plan(ctx.growerId, of, async () => (await this.planner.plan(situation, 'glance', wishes)).plan);
  }

  private supposedOf(situation: Parameters<typeof supposed>[0], suppositions: readonly Supposition[]) {
    try {
      return supposed(situation, suppositions);
    } catch (error) {
      if (error instanceof DomainError && error.code === 'supposition-not-possible')
        throw new AppError('rule-refused', `${error.message} Nothing was changed.`);
      throw error;
    }
  }

  private async reviewIn(tx: GrowerTx, ctx: GrowerContext): Promise<PlanReview | null> {
    const { plan, current, names } = await newestFacts(tx, ctx);
    if (plan === null) return null;
    const { currency, rhythm, timeZone } = await readSettings(tx, ctx.growerId);
    const asOf = calendarDayAt(this.clock.now().getTime(), timeZone);
    return reviewJson(plan, {
      ...{ current, currency, names },
      pins: await listPins(tx, ctx.growerId, asOf),
      standing: await readStanding(tx, ctx.growerId, asOf, rhythm, plan),
    });
  }

  private async today(tx: GrowerTx, ctx: GrowerContext) {
    const { timeZone } = await readSettings(tx, ctx.growerId);
    return calendarDayAt(this.clock.now().getTime(), timeZone);
  }
}

async function earlierPlan(
  tx: GrowerTx,
  growerId: string,
  now: StoredPlanRow,
  days: number,
): Promise<StoredPlanRow | null> {
  const before = days === 0 ? null : await planUntil(tx, growerId, addDays(now.plan.asOf, -days));
  return before ?? planBefore(tx, growerId, now.version);
}

function compared(plan: KeptPlan): ComparedPlan {
  return { plan, facts: plan.facts ?? null };
}

function metOf({ runs, assurance }: KeptPlan): number {
  return runs.length - (assurance?.below.length ?? runs.length);
}

async function requirePinnable(
  tx: GrowerTx,
  { growerId }: GrowerContext,
  { strainId, sizeId }: Omit<PinnedStart, 'containers'>,
): Promise<void> {
  const strain = await tx.strain.findUnique({ where: { growerId_id: { growerId, id: strainId } } });
  const size = await tx.containerSize.findUnique({ where: { growerId_id: { growerId, id: sizeId } } });
  if (strain === null || size === null)
    throw new AppError('rule-refused', 'The start names a strain or a container size that is not on this farm.');
}
