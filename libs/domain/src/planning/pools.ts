import type { AcceptedContainer, AcceptedSituation } from './accepted-situation.js';
import type { StartOption } from './start-options.js';

/** A container on hand as an arrival in its pool: it can be used from a day until a day, both included. */
export interface StockArrival {
  readonly container: AcceptedContainer;
  readonly from: number;
  readonly until: number;
}

/**
 * Unopened containers that are alike in all a plan can see: strain, generation, size, expected grams. They share one
 * queue, first expired first out, warm and cold. This is the planner's cohort: stock on hand and planned starts in one.
 */
export interface Pool {
  readonly index: number;
  readonly strain: number;
  readonly generation: number;
  readonly size: number;
  readonly gramsEach: number;
  /** Set aside as mothers: never offered to a run. */
  readonly motherOnly: boolean;
  readonly warm: readonly StockArrival[];
  readonly cold: readonly StockArrival[];
  /** Places in the list of start options. */
  readonly starts: readonly number[];
}

/** Groups stock on hand and possible starts into pools, in a fixed order. */
export function buildPools(situation: AcceptedSituation, options: readonly StartOption[]): Pool[] {
  const pools = new Map<string, PoolDraft>();
  for (const container of situation.containers) {
    if (container.kind !== 'warm' && container.kind !== 'cold') continue;
    const draft = draftFor(pools, container, container.grams, container.keptAsMother);
    draft[container.kind].push({ container, from: container.from, until: container.until });
  }
  options.forEach((option, place) => {
    draftFor(pools, option, option.gramsEach, false).starts.push(place);
  });
  return [...pools.entries()]
    .sort(([one], [other]) => (one < other ? -1 : 1))
    .map(([, draft], index) => ({ ...draft, index, warm: byExpiry(draft.warm), cold: byExpiry(draft.cold) }));
}

type PoolDraft = Omit<Pool, 'index' | 'warm' | 'cold' | 'starts'> & {
  readonly warm: StockArrival[];
  readonly cold: StockArrival[];
  readonly starts: number[];
};

function draftFor(
  pools: Map<string, PoolDraft>,
  thing: { readonly strain: number; readonly generation: number; readonly size: number },
  gramsEach: number,
  motherOnly: boolean,
): PoolDraft {
  const pad = (number: number) => String(number).padStart(4, '0');
  const key = [pad(thing.strain), pad(thing.generation), pad(thing.size), gramsEach.toFixed(4), motherOnly].join('|');
  const { strain, generation, size } = thing;
  const draft = pools.get(key) ?? { strain, generation, size, gramsEach, motherOnly, warm: [], cold: [], starts: [] };
  pools.set(key, draft);
  return draft;
}

function byExpiry(arrivals: readonly StockArrival[]): StockArrival[] {
  return [...arrivals].sort(
    (one, other) =>
      one.until - other.until || one.from - other.from || (one.container.code < other.container.code ? -1 : 1),
  );
}
