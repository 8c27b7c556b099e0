import { randomUUID } from 'node:crypto';
import type { NewestPlan, Replanned, RunChanged } from '@jarfold/contracts';
import { planToJson } from '@jarfold/contracts';
import { addDays, calendarDayAt } from '@jarfold/domain';
import type { FarmSituation } from '@jarfold/domain/planning';
import { listRooms, listShelves, listSizes, listStrains, readSettings } from '../farm/index.js';
import { replanAsked } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx, log } from '../platform/index.js';
import { LearnedFarms } from '../rates/index.js';
import { listBenchPeople } from '../staff/index.js';
import { farmChanceFrom } from './farm-chance.mapper.js';
import { readNames } from './names.repository.js';
import { planInWords } from './names-in-words.js';
import { OneAtATime } from './one-at-a-time.js';
import {
  confirmPlan,
  insertPlan,
  lockPlans,
  newestPlan,
  newestPlanHead,
  type StoredPlanRow,
} from './plan.repository.js';
import type { PlanEffort } from './plan-effort.js';
import type { MadePlan, Planner, PlanWishes } from './planner.js';
import { situationFrom } from './situation.mapper.js';
import { canBePlanned, listPlannedRuns, listUsableJars, readFactsStamp } from './situation.repository.js';
import { situationDigest } from './situation-digest.js';
import { readStanding } from './standing.js';
import { readAssurance } from './standing.repository.js';

/** Changes when the planner's answers to the same facts may change: then the next replan makes a new plan. */
export const PLAN_MODEL_VERSION = '7';

/** How long a person at a screen is kept waiting for a new plan. */
const PATIENCE_MS = 8_000;

/** A run may be late by its slack; the contract caps that at this many days. */
const LONGEST_SLACK_DAYS = 60;

export interface ReadFacts {
  readonly situation: FarmSituation;
  readonly wishes: PlanWishes;
  readonly digest: string;
  readonly readAt: Date;
  readonly position: bigint;
}

export interface NewestFacts {
  readonly plan: StoredPlanRow | null;
  /** False while a change of facts has not been answered by a plan yet. */
  readonly current: boolean;
  /** What the ids in the plan are called; nothing without a plan. */
  readonly names: ReadonlyMap<string, string>;
}

/** What somebody who waited for a plan got: its id, if there is one, and whether it answers the newest facts. */
export type PlanSeen = RunChanged['plan'];

/** Makes, keeps and shows plans. */
export class PlanService {
  private readonly turns = new OneAtATime<Replanned>();
  private readonly learned = new LearnedFarms();

  constructor(
    private readonly growerDb: GrowerDb,
    private readonly planner: Planner,
    private readonly clock: Clock,
  ) {}

  /**
   * Plans from the facts as they are now. Facts are read in one snapshot, the plan is made without any transaction, and
   * is stored in one row. With no new facts nothing is stored and the plan that stands is the answer, so doing this
   * twice, or in two processes at once, is safe.
   * @throws AppError `rule-refused` while the farm has no strain or no container size; `unavailable`
   */
  replan(ctx: GrowerContext, effort: PlanEffort = 'quick'): Promise<Replanned> {
    return this.turns.do(ctx.growerId, () => this.replanNow(ctx, effort));
  }

  /**
   * Plans while somebody waits, for so long at most. When it fails or takes longer the plan is still `being-made`: it
   * goes on by itself, and what asked for it left an outbox row, so a worker sees to it in any case.
   */
  async replanWhileWaiting(ctx: GrowerContext): Promise<PlanSeen> {
    let timer: NodeJS.Timeout | undefined;
    const late = new Promise<PlanSeen>((resolve) => {
      timer = setTimeout(() => resolve({ id: null, freshness: 'being-made' }), PATIENCE_MS);
    });
    const done = this.replan(ctx).then(
      ({ planId }): PlanSeen => ({ id: planId, freshness: 'current' }),
      (error: unknown) => notPlanned(ctx, error),
    );
    return Promise.race([done, late]).finally(() => clearTimeout(timer));
  }

  private async replanNow(ctx: GrowerContext, effort: PlanEffort): Promise<Replanned> {
    const facts = await this.readFacts(ctx);
    const standing = await this.growerDb.run(ctx, (tx) => confirmIfSame(tx, ctx, facts));
    if (standing !== null) return { planId: standing, changed: false };
    const made = await this.planner.plan(facts.situation, effort, facts.wishes);
    return this.growerDb.run(ctx, (tx) => this.store(tx, ctx, facts, made));
  }

  async newest(ctx: GrowerContext): Promise<NewestPlan> {
    const { plan, current } = await this.growerDb.read(ctx, (tx) => newestFacts(tx, ctx));
    if (plan === null) return { newest: null };
    return {
      newest: {
        id: plan.id,
        madeAt: plan.madeAt.toISOString(),
        freshness: current ? 'current' : 'being-made',
        plan: planToJson(plan.plan, plan.solveMs),
      },
    };
  }

  /** The facts a plan would be made from now. */
  async readFacts(ctx: GrowerContext): Promise<ReadFacts> {
    const facts = await this.growerDb.read(ctx, (tx) => this.factsIn(tx, ctx));
    // Where the chance is from changes no plan.
    const { grounds: _, ...asked } = facts.wishes;
    return { ...facts, digest: situationDigest(newFacts(facts.situation), asked, PLAN_MODEL_VERSION) };
  }

  private async factsIn(tx: GrowerTx, { growerId }: GrowerContext): Promise<Omit<ReadFacts, 'digest'>> {
    const stamp = await readFactsStamp(tx, growerId);
    const settings = await readSettings(tx, growerId);
    const asOf = calendarDayAt(this.clock.now().getTime(), settings.timeZone);
    const strains = await listStrains(tx, growerId);
    const learned = await this.learned.read(tx, growerId, asOf, strains);
    const situation = situationFrom({
      ...{ asOf, settings, strains, learned },
      sizes: await listSizes(tx, growerId),
      rooms: await listRooms(tx, growerId),
      shelves: await listShelves(tx, growerId),
      jars: await listUsableJars(tx, growerId, settings.timeZone),
      people: await listBenchPeople(tx, growerId),
      runs: await listPlannedRuns(tx, growerId, addDays(asOf, -LONGEST_SLACK_DAYS)),
    });
    const standing = await readStanding(tx, growerId, asOf, settings.rhythm, await newestPlan(tx, growerId));
    const wishes = { ...farmChanceFrom(situation, learned), assurance: await readAssurance(tx, growerId) };
    return { situation: { ...situation, standing }, wishes, ...stamp };
  }

  private async store(tx: GrowerTx, ctx: GrowerContext, facts: ReadFacts, made: MadePlan): Promise<Replanned> {
    await lockPlans(tx, ctx.growerId);
    const newest = await newestPlanHead(tx, ctx.growerId);
    if (newest !== null && newest.situationDigest === facts.digest) {
      await confirmPlan(tx, ctx.growerId, newest.id, facts.readAt);
      return { planId: newest.id, changed: false };
    }
    // Another process read later facts and was quicker: its plan stands.
    if (newest !== null && newest.factsReadAt > facts.readAt) return { planId: newest.id, changed: true };
    const id = randomUUID();
    await insertPlan(tx, ctx.growerId, {
      id,
      version: (newest?.version ?? 0) + 1,
      situationDigest: facts.digest,
      modelVersion: PLAN_MODEL_VERSION,
      factsReadAt: facts.readAt,
      position: facts.position,
      plan: made.plan,
      solveMs: made.solveMs,
      madeAt: this.clock.now(),
    });
    return { planId: id, changed: true };
  }
}

/** Facts that ask for a new plan. That the newest plan stands is none: it would be made from itself for ever. */
function newFacts(situation: FarmSituation): FarmSituation {
  const { standing = [], ...facts } = situation;
  const held = standing.filter(({ hold }) => hold !== 'accepted');
  return { ...facts, ...(held.length > 0 ? { standing: held } : {}) };
}

/** The newest plan, its sentences in the farm's own names, and whether it answers the newest facts. */
export async function newestFacts(tx: GrowerTx, { growerId }: GrowerContext): Promise<NewestFacts> {
  const stored = await newestPlan(tx, growerId);
  const names = stored === null ? new Map<string, string>() : await readNames(tx, growerId);
  const plan = stored === null ? null : { ...stored, plan: planInWords(stored.plan, names) };
  // A farm that has nothing to plan with is not waiting for a plan, whatever it changes.
  if (plan === null && !(await canBePlanned(tx, growerId))) return { plan, current: true, names };
  const asked = await replanAsked(tx, growerId, plan?.factsReadAt ?? new Date(0));
  return { plan, current: !asked, names };
}

async function confirmIfSame(tx: GrowerTx, ctx: GrowerContext, facts: ReadFacts): Promise<string | null> {
  const newest = await newestPlanHead(tx, ctx.growerId);
  if (newest !== null && newest.situationDigest === facts.digest) {
    await confirmPlan(tx, ctx.growerId, newest.id, facts.readAt);
    return newest.id;
  }
  if (isReady(facts.situation)) return null;
  throw new AppError(
    'rule-refused',
    'There is nothing to plan with yet: add a strain and a container size first, or answer the three questions.',
  );
}

function notPlanned({ growerId }: GrowerContext, error: unknown): PlanSeen {
  if (error instanceof AppError && error.code === 'rule-refused') return { id: null, freshness: 'current' };
  log.warn('replan-left-to-worker', { growerId, error });
  return { id: null, freshness: 'being-made' };
}

function isReady({ strains, sizes }: FarmSituation): boolean {
  return strains.length > 0 && sizes.length > 0;
}
