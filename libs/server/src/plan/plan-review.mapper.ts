import type { PlanChangesJson, PlanPin, PlanReview } from '@jarfold/contracts';
import type { PlanChanges, PlannedStart, StandingStart } from '@jarfold/domain/planning';
import type { StoredPlanRow } from './plan.repository.js';
import type { PinRow } from './standing.repository.js';

export interface ReviewNames {
  readonly current: boolean;
  readonly currency: string;
  readonly names: ReadonlyMap<string, string>;
  readonly pins: readonly PinRow[];
  readonly standing: readonly StandingStart[];
}

/** The newest plan as something to agree on. Runs and strains carry the farm's names. */
export function reviewJson(stored: StoredPlanRow, known: ReviewNames): PlanReview {
  const { plan } = stored;
  const name = (id: string) => known.names.get(id) ?? id;
  return {
    planId: stored.id,
    version: stored.version,
    asOf: plan.asOf,
    madeAt: stored.madeAt.toISOString(),
    freshness: known.current ? 'current' : 'being-made',
    status: stored.status,
    acceptedAt: stored.acceptedAt?.toISOString() ?? null,
    cost: plan.cost,
    bound: plan.bound,
    gap: plan.gap,
    currency: known.currency,
    assurance: plan.assurance
      ? {
          asked: plan.assurance.asked,
          draws: plan.assurance.draws,
          runs: plan.runs.length,
          met: plan.runs.length - plan.assurance.below.length,
        }
      : null,
    grounds: (plan.grounds ?? []).map(({ strainId, ...grounds }) => ({ ...grounds, strain: name(strainId) })),
    starts: plan.starts.map((start) => startJson(start, stored, known)),
    below: (plan.assurance?.below ?? []).map(({ run, probability, limit }) => ({
      runId: run,
      run: name(run),
      day: plan.runs.find((each) => each.run === run)!.day,
      probability,
      limit: limit.kind,
      limitWhere: limit.where,
      message: limit.message,
    })),
    impossible: plan.impossible.map((each) => ({ ...each })),
    pins: known.pins.map((pin) => pinJson(pin, name)),
  };
}

function startJson(
  start: PlannedStart,
  { plan, status }: StoredPlanRow,
  known: ReviewNames,
): PlanReview['starts'][number] {
  const name = (id: string) => known.names.get(id) ?? id;
  const weight = plan.assurance?.starts.find((each) => each.start === start.id);
  const { id, benchDay, strainId, sizeId, generation, containers, mothersLaterGrams, reserveGrams, lastSafeDay } =
    start;
  return {
    ...{ id, benchDay, generation, containers, mothersLaterGrams, reserveGrams, lastSafeDay },
    strain: { id: strainId, code: name(strainId) },
    size: { id: sizeId, name: name(sizeId) },
    hold: holdOf(start, known.standing, status),
    feeds: start.feeds.map(({ run, grams }) => ({ runId: run, run: name(run), grams })),
    isLastSafeDay: benchDay === lastSafeDay,
    withoutIt: weight
      ? weight.withoutIt.map(({ run, probability, before }) => ({ runId: run, run: name(run), probability, before }))
      : null,
  };
}

function holdOf(
  { benchDay, strainId, generation, sizeId }: PlannedStart,
  standing: readonly StandingStart[],
  status: StoredPlanRow['status'],
): PlanReview['starts'][number]['hold'] {
  const held = standing.find(
    (each) =>
      each.benchDay === benchDay &&
      each.strainId === strainId &&
      each.generation === generation &&
      each.sizeId === sizeId,
  );
  if (held?.hold === 'prepared' || held?.hold === 'pinned') return held.hold;
  return status === 'accepted' ? 'accepted' : 'proposed';
}

function pinJson(
  { benchDay, strainId, generation, sizeId, containers, pinnedAt }: PinRow,
  name: (id: string) => string,
): PlanPin {
  return {
    ...{ benchDay, generation, containers },
    strain: { id: strainId, code: name(strainId) },
    size: { id: sizeId, name: name(sizeId) },
    pinnedAt: pinnedAt.toISOString(),
  };
}

/** What is started and covered otherwise, by the farm's names. */
export function changesInNames(
  { starts, runs }: PlanChanges,
  name: (id: string) => string,
): Pick<PlanChangesJson, 'starts' | 'runs'> {
  return {
    starts: starts.map(({ strainId, sizeId, ...rest }) => ({ ...rest, strain: name(strainId), size: name(sizeId) })),
    runs: runs.map(({ run, ...rest }) => ({ ...rest, run: name(run) })),
  };
}

export function changesJson(
  before: StoredPlanRow,
  now: StoredPlanRow,
  changes: PlanChanges,
  names: ReadonlyMap<string, string>,
): PlanChangesJson {
  const name = (id: string) => names.get(id) ?? id;
  return {
    before: { planId: before.id, asOf: before.plan.asOf, cost: before.plan.cost },
    now: { planId: now.id, asOf: now.plan.asOf, cost: now.plan.cost },
    ...changesInNames(changes, name),
    why: changes.why.map(({ subject, ...rest }) => ({ ...rest, subject: subject === null ? null : name(subject) })),
  };
}
