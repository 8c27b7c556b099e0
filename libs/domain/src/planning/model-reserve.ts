import type { AcceptedStrain } from './accepted-situation.js';
import type { ModelDraft } from './model-draft.js';
import { staysOn } from './model-places.js';
import { reserveDays } from './reserve-days.js';
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
  return reserveDays(draft.situation, strain, draft.handlingDays, draft.starts).map(({ day, until, required }) => {
    const cost = draft.situation.costs.perMotherMissingDay * (until - day);
    const missing = draft.builder.column({ cost, upper: required });
    const row = draft.builder.row(required, Number.POSITIVE_INFINITY, [[missing, 1]]);
    for (const pool of mothers) {
      for (const stay of staysOn([...pool.warmStays, ...pool.coldStays], day)) draft.builder.term(row, stay.column, 1);
    }
    return { strain: strain.index, day, until, required, missing };
  });
}

/** Whether unopened containers of the pool can inoculate a next generation. */
export function isMotherPool(
  pool: { readonly strain: number; readonly generation: number },
  strain: AcceptedStrain,
): boolean {
  return pool.strain === strain.index && pool.generation >= 1 && pool.generation < strain.lastGeneration;
}
