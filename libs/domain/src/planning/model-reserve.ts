import type { AcceptedStrain } from './accepted-situation.js';
import type { ModelDraft } from './model-draft.js';
import { staysOn } from './model-places.js';
import type { PoolVariables, ReserveVariable } from './spawn-model.js';

/**
 * The mother reserve: whole ripe containers, young enough to mother, on every handling day and at the end. What is missing
 * costs by the day, so that a farm that cannot have the reserve yet is planned all the same. Before the first container
 * the plan starts can be ripe, only what is on hand can be asked for.
 */
export function addReserves(draft: ModelDraft, pools: readonly PoolVariables[]): ReserveVariable[] {
  return draft.situation.strains
    .filter((strain) => strain.motherReserve > 0)
    .flatMap((strain) => addReserve(draft, pools, strain));
}

function addReserve(draft: ModelDraft, pools: readonly PoolVariables[], strain: AcceptedStrain): ReserveVariable[] {
  const mothers = pools.filter((pool) => isMotherPool(pool, strain));
  const days = draft.handlingDays.includes(draft.situation.horizon)
    ? draft.handlingDays
    : [...draft.handlingDays, draft.situation.horizon];
  const firstMade = Math.min(
    Number.POSITIVE_INFINITY,
    ...draft.starts
      .filter((start) => start.strain === strain.index && start.generation < strain.lastGeneration)
      .map((start) => start.ripeDay),
  );
  return days.flatMap((day, place) => {
    const onHand = mothers.flatMap((pool) => [...pool.warm, ...pool.cold]).filter((each) => each.from <= day);
    const required = day >= firstMade ? strain.motherReserve : Math.min(strain.motherReserve, onHand.length);
    if (required === 0) return [];
    const until = days[place + 1] ?? day + 1;
    const cost = draft.situation.costs.perMotherMissingDay * (until - day);
    const missing = draft.builder.column({ cost, upper: required });
    const row = draft.builder.row(required, Number.POSITIVE_INFINITY, [[missing, 1]]);
    for (const pool of mothers) {
      for (const stay of staysOn([...pool.warmStays, ...pool.coldStays], day)) draft.builder.term(row, stay.column, 1);
    }
    return [{ strain: strain.index, day, until, required, missing }];
  });
}

/** Whether unopened containers of the pool can inoculate a next generation. */
export function isMotherPool(
  pool: { readonly strain: number; readonly generation: number },
  strain: AcceptedStrain,
): boolean {
  return pool.strain === strain.index && pool.generation >= 1 && pool.generation < strain.lastGeneration;
}
