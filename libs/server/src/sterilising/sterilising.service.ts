import type { CycleDetail, CycleDetailQuery, CycleJson, CycleList, CycleQuery, NewTrace } from '@jarfold/contracts';
import { pressureHoldMin } from '@jarfold/domain';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { killsBy, targetOf, traceSeen, verdictOf } from './cycle-judged.js';
import { type CycleRow, listCycles, loadsOfCycle, lotsOfCycle, readingsOfCycle } from './cycles.repository.js';
import { type ReadAttached, readAttached } from './read-attached.js';
import { findTrace, insertTrace, nameOfStaff, newestTraces, type StoredTrace } from './traces.repository.js';

/** Steriliser cycles with their heat. The bench log makes them; what a person adds here is a temperature trace. */
export class SterilisingService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /** Newest first. */
  async list(ctx: GrowerContext, { beforeId, limit }: CycleQuery): Promise<CycleList> {
    return this.growerDb.read(ctx, async (tx) => {
      if (beforeId !== undefined) await requireCycle(tx, ctx, { id: beforeId });
      const cycles = await listCycles(tx, ctx.growerId, { beforeId: beforeId ?? null, limit });
      const traces = await newestTraces(
        tx,
        ctx.growerId,
        cycles.map(({ id }) => id),
      );
      return {
        items: cycles.map((cycle) => cycleJson(cycle, traces.get(cycle.id) ?? null)),
        next: cycles.length === limit ? (cycles.at(-1)?.id ?? null) : null,
      };
    });
  }

  /** @throws AppError `not-found` */
  async one(ctx: GrowerContext, { cycleId, code }: CycleDetailQuery): Promise<CycleDetail> {
    return this.growerDb.read(ctx, async (tx) =>
      detailOf(tx, ctx, await requireCycle(tx, ctx, cycleId === undefined ? { code: code! } : { id: cycleId })),
    );
  }

  /**
   * Keeps a trace of a cycle, with who attached it and when. The same readings again add nothing.
   * @throws AppError `invalid-input` for a trace that cannot be read, `not-found`, `conflict` for an id used before
   */
  async attach(ctx: GrowerContext, wanted: NewTrace): Promise<CycleDetail> {
    const read = readAttached(wanted);
    return this.growerDb.run(ctx, async (tx) => {
      const cycle = await requireCycle(tx, ctx, { id: wanted.cycleId });
      await this.keep(tx, ctx, wanted, read);
      return detailOf(tx, ctx, cycle);
    });
  }

  private async keep(tx: GrowerTx, ctx: GrowerContext, wanted: NewTrace, read: ReadAttached): Promise<void> {
    const known = await findTrace(tx, ctx.growerId, wanted.id);
    if (known !== null) {
      if (known.cycleId === wanted.cycleId && sameReadings(known, read)) return;
      throw new AppError('conflict', 'Another trace was attached under this id. Nothing was changed.');
    }
    const newest = (await newestTraces(tx, ctx.growerId, [wanted.cycleId])).get(wanted.cycleId);
    if (newest && sameReadings(newest, read)) return;
    if (ctx.staffId === null) throw new TypeError('A trace is attached by a person.');
    const author = { attachedAt: this.clock.now(), attachedBy: ctx.staffId, ordinal: (newest?.ordinal ?? 0) + 1 };
    await insertTrace(tx, ctx.growerId, {
      ...{ id: wanted.id, cycleId: wanted.cycleId, ...author, ...read },
      ...{ origin: wanted.kind, fileName: wanted.kind === 'file' ? wanted.fileName : null },
    });
  }
}

async function requireCycle(
  tx: GrowerTx,
  { growerId }: GrowerContext,
  wanted: { readonly id: string } | { readonly code: string },
): Promise<CycleRow> {
  const [cycle] = await listCycles(tx, growerId, wanted);
  if (cycle === undefined) throw new AppError('not-found', 'There is no such steriliser cycle on this farm.');
  return cycle;
}

function cycleJson(cycle: CycleRow, trace: StoredTrace | null): CycleJson {
  const { altitudeM: _altitudeM, endedAt: _endedAt, cooledAt: _cooledAt, startedAt, ...shown } = cycle;
  return {
    ...{ ...shown, startedAt: startedAt.toISOString(), hasTrace: trace !== null },
    verdict: verdictOf(cycle, trace?.points ?? null),
  };
}

async function detailOf(tx: GrowerTx, { growerId }: GrowerContext, cycle: CycleRow): Promise<CycleDetail> {
  const trace = (await newestTraces(tx, growerId, [cycle.id])).get(cycle.id) ?? null;
  const shown = cycleJson(cycle, trace);
  const loads = await loadsOfCycle(tx, growerId, cycle.id);
  return {
    ...{ ...shown, altitudeM: cycle.altitudeM, target: targetOf(cycle), kills: killsBy(shown.verdict.f0Min) },
    ...{ endedAt: cycle.endedAt?.toISOString() ?? null, cooledAt: cycle.cooledAt?.toISOString() ?? null },
    trace: trace && (await traceJson(tx, growerId, cycle, trace)),
    readings: await readingsOfCycle(tx, growerId, cycle.id),
    earlierTraces: trace === null ? 0 : trace.ordinal - 1,
    loads: loads.map((load) => ({ ...load, publishedHoldMin: publishedHold(cycle, load.volumeMl) })),
    lotRows: await lotsOfCycle(tx, growerId, cycle.id),
  };
}

async function traceJson(
  tx: GrowerTx,
  growerId: string,
  cycle: CycleRow,
  { cycleId: _cycleId, ordinal: _ordinal, attachedAt, ...trace }: StoredTrace,
): Promise<NonNullable<CycleDetail['trace']>> {
  const { hot, ...seen } = traceSeen(cycle, trace.points);
  return {
    ...{ ...trace, ...seen, hot, attachedAt: attachedAt.toISOString() },
    attachedByName: await nameOfStaff(tx, growerId, trace.attachedBy),
  };
}

/** The tables end at fifteen litres. */
const LARGEST_PUBLISHED_ML = 15_000;

const publishedHold = ({ method }: CycleRow, volumeMl: number): number | null =>
  method === 'pressure' && volumeMl <= LARGEST_PUBLISHED_ML ? pressureHoldMin(volumeMl).value : null;

function sameReadings(stored: StoredTrace, { points }: ReadAttached): boolean {
  return (
    stored.points.length === points.length &&
    stored.points.every(
      ({ minute, temperatureC }, i) => minute === points[i]!.minute && temperatureC === points[i]!.temperatureC,
    )
  );
}
