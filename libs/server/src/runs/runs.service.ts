import { randomUUID } from 'node:crypto';
import {
  type NewRun,
  type Run,
  type RunChanged,
  type RunList,
  type RunPatch,
  type RunQuery,
  saidOfOneKind,
} from '@jarfold/contracts';
import { calendarDayAt } from '@jarfold/domain';
import {
  listStrains,
  lockFarm,
  readSettings,
  requireRevision,
  type StrainRow,
  sameThingOrNull,
} from '../farm/index.js';
import { enqueueReplan } from '../jobs/index.js';
import { newestFacts, type PlanService } from '../plan/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { coverageOfRuns } from './coverage-of-runs.js';
import { requireSize, statedOrder } from './order-wanted.js';
import { demandOf, restated, statedRun } from './run-wanted.js';
import { runJson } from './runs.mapper.js';
import { findRun, findRuns, insertRuns, listRuns, type RunRow, type StoredRun, updateRun } from './runs.repository.js';

/** Bulk runs and orders: what spawn is needed for, when and how much. */
export class RunsService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly plans: PlanService,
    private readonly clock: Clock,
  ) {}

  async list(ctx: GrowerContext, query: RunQuery): Promise<RunList> {
    return this.growerDb.read(ctx, async (tx) => {
      const runs = await listRuns(tx, ctx.growerId, query);
      const strains = await listStrains(tx, ctx.growerId);
      const { plan } = await newestFacts(tx, ctx);
      const coverage = await coverageOfRuns(tx, ctx.growerId, plan, runs);
      return {
        items: runs.map((run) => runJson(run, strains, coverage)),
        planId: plan?.id ?? null,
        planAsOf: plan?.plan.asOf ?? null,
      };
    });
  }

  /** @throws AppError `not-found` */
  async one(ctx: GrowerContext, id: string): Promise<Run> {
    return this.growerDb.read(ctx, (tx) => runIn(tx, ctx, id));
  }

  /** Adds a run and plans anew. Sent twice under one id, it is added once. */
  async add(ctx: GrowerContext, wanted: NewRun): Promise<RunChanged> {
    const id = await this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const added = await addRunIn(tx, ctx, wanted);
      await enqueueReplan(tx, ctx, 'run-changed');
      return added;
    });
    return this.replanned(ctx, id);
  }

  /** @throws AppError `revision-stale`, `not-found`, `rule-refused` for a cancelled run */
  async change(ctx: GrowerContext, id: string, revision: number, patch: RunPatch): Promise<RunChanged> {
    await this.changing(ctx, async (tx) => changeRunIn(tx, ctx, id, revision, patch, await this.today(tx, ctx)));
    return this.replanned(ctx, id);
  }

  /** A cancelled run is kept, with who cancelled it and when. Cancelling it again changes nothing. */
  async cancel(ctx: GrowerContext, id: string, revision: number, reason: string | null): Promise<RunChanged> {
    await this.changing(ctx, (tx) => cancelRunIn(tx, ctx, id, revision, reason, this.clock.now()));
    return this.replanned(ctx, id);
  }

  private async changing(ctx: GrowerContext, change: (tx: GrowerTx) => Promise<void>): Promise<void> {
    await this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      await change(tx);
      await enqueueReplan(tx, ctx, 'run-changed');
    });
  }

  /**
   * Plans anew while the browser waits, so that the person sees the plan change. The change itself stands whatever
   * becomes of this: its outbox row makes the worker plan too, and a plan for the same facts is made only once.
   */
  private async replanned(ctx: GrowerContext, runId: string): Promise<RunChanged> {
    const plan = await this.plans.replanWhileWaiting(ctx);
    return { run: await this.one(ctx, runId), plan };
  }

  private async today(tx: GrowerTx, ctx: GrowerContext): Promise<RunRow['day']> {
    const { timeZone } = await readSettings(tx, ctx.growerId);
    return calendarDayAt(this.clock.now().getTime(), timeZone);
  }
}

/** Adds a run within a transaction that holds the farm's lock. */
export async function addRunIn(tx: GrowerTx, ctx: GrowerContext, wanted: NewRun): Promise<string> {
  const id = wanted.id ?? randomUUID();
  await addRunsIn(tx, ctx, [{ ...wanted, id }]);
  return id;
}

/** Adds runs within a transaction that holds the farm's lock. Those that are there already, and the same, are left alone. */
export async function addRunsIn(
  tx: GrowerTx,
  ctx: GrowerContext,
  wanted: readonly (NewRun & { readonly id: string })[],
): Promise<void> {
  const strains = await listStrains(tx, ctx.growerId);
  const ids = wanted.map(({ id }) => id);
  const stored = new Map((await findRuns(tx, ctx.growerId, ids)).map((run) => [run.id, run]));
  const fresh: StoredRun[] = [];
  for (const run of wanted) {
    const { id } = run;
    const start = { id, revision: 1, state: 'planned', doneOn: null, cancelled: null } as const;
    const [firstStrain] = requireStrains(strains, run.strainIds);
    if (run.kind === 'order') {
      await requireSize(tx, ctx, run.sizeId);
      const stated = statedOrder(run, firstStrain!);
      if (!sameThingOrNull<RunRow>(stored.get(id) ?? null, { ...stated, id }, 'run'))
        fresh.push({ ...start, ...stated });
    } else {
      const stated = statedRun(run, firstStrain!);
      if (!sameThingOrNull<RunRow>(stored.get(id) ?? null, { ...stated, id }, 'run'))
        fresh.push({ ...start, ...stated, ...demandOf(stated) });
    }
  }
  await insertRuns(tx, ctx.growerId, fresh, ctx.staffId);
}

/**
 * Changes a run within a transaction that holds the farm's lock.
 * @throws AppError `revision-stale`, `not-found`, `rule-refused` for a cancelled run
 */
export async function changeRunIn(
  tx: GrowerTx,
  ctx: GrowerContext,
  id: string,
  revision: number,
  patch: RunPatch,
  today: RunRow['day'],
): Promise<void> {
  const stored = requireRevision(await findRun(tx, ctx.growerId, id), revision, 'run');
  requireNotCancelled(stored);
  requireItsKind(stored, patch);
  const stated = restated(stored, patch);
  if (patch.sizeId !== undefined) await requireSize(tx, ctx, patch.sizeId);
  if (patch.strainIds !== undefined) requireStrains(await listStrains(tx, ctx.growerId), patch.strainIds);
  const doneOn = stated.state === 'done' ? (stored.doneOn ?? today) : null;
  await updateRun(tx, ctx.growerId, { ...stated, doneOn, revision: revision + 1 });
}

/**
 * Cancels a run within a transaction that holds the farm's lock.
 * @throws AppError `revision-stale`, `not-found`, `rule-refused` for a run that is done
 */
export async function cancelRunIn(
  tx: GrowerTx,
  ctx: GrowerContext,
  id: string,
  revision: number,
  reason: string | null,
  now: Date,
): Promise<void> {
  const stored = requireRevision(await findRun(tx, ctx.growerId, id), revision, 'run');
  if (stored.state === 'done') {
    throw new AppError('rule-refused', `"${stored.name}" is done already, so it cannot be cancelled.`);
  }
  const cancelled: RunRow =
    stored.state === 'cancelled'
      ? stored
      : { ...stored, state: 'cancelled', cancelled: { at: now, byStaffId: ctx.staffId, reason } };
  await updateRun(tx, ctx.growerId, { ...cancelled, revision: revision + 1 });
}

async function runIn(tx: GrowerTx, ctx: GrowerContext, id: string): Promise<Run> {
  const run = await findRun(tx, ctx.growerId, id);
  if (run === null) throw new AppError('not-found', 'There is no such run on this farm.');
  const { plan } = await newestFacts(tx, ctx);
  const coverage = await coverageOfRuns(tx, ctx.growerId, plan, [run]);
  return runJson(run, await listStrains(tx, ctx.growerId), coverage);
}

/** The strains a run names, in its order. */
function requireStrains(strains: readonly StrainRow[], strainIds: readonly string[]): StrainRow[] {
  const found = strainIds.map((id) => strains.find((strain) => strain.id === id && !strain.archived));
  const errors = found.flatMap((strain, index) =>
    strain === undefined
      ? [{ in: 'body', pointer: `/strainIds/${index}`, detail: 'No strain in use has this id.' }]
      : [],
  );
  if (errors.length > 0) {
    throw new AppError('rule-refused', 'The run names a strain that is not on this farm or is archived.', { errors });
  }
  if (new Set(strainIds).size < strainIds.length) {
    const twice = [{ in: 'body', pointer: '/strainIds', detail: 'Each strain may stand here once.' }];
    throw new AppError('rule-refused', 'The run names a strain twice.', { errors: twice });
  }
  return found as StrainRow[];
}

/** Substrate is said of bulk runs only, jars of orders only. */
function requireItsKind({ kind, name }: RunRow, patch: RunPatch): void {
  const foreign = saidOfOneKind[kind === 'bulk' ? 'order' : 'bulk'].filter((field) => patch[field] !== undefined);
  if (foreign.length === 0) return;
  const what = kind === 'bulk' ? 'a bulk run' : 'an order for jars';
  throw new AppError('rule-refused', `"${name}" is ${what}, and a run never changes its kind.`, {
    errors: foreign.map((field) => ({ in: 'body', pointer: `/${field}`, detail: `This is not said of ${what}.` })),
  });
}

function requireNotCancelled({ state, name }: RunRow): void {
  if (state !== 'cancelled') return;
  throw new AppError('rule-refused', `"${name}" is cancelled: add it again instead of changing it.`);
}
