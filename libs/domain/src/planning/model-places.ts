import type { ModelDraft } from './model-draft.js';
import type { PoolVariables, Stay } from './spawn-model.js';

/**
 * Shelf places. What incubates or waits ripe and warm takes an incubation place, what is chilled a cold one; counted at
 * the end of the days on which something can be added. More than the places is never planned, but what stands there
 * already is not thrown out for it.
 */
export function addPlaceRows(draft: ModelDraft, pools: readonly PoolVariables[]): void {
  const { incubationPlaces, coldPlaces } = draft.situation;
  if (Number.isFinite(incubationPlaces)) for (const day of draft.handlingDays) addIncubationRow(draft, pools, day);
  if (coldPlaces > 0) for (const day of draft.handlingDays) addColdRow(draft, pools, day);
}

function addIncubationRow(draft: ModelDraft, pools: readonly PoolVariables[], day: number): void {
  const { builder, situation, limits } = draft;
  const standing = incubatingStockPlaces(draft, day);
  const unavoidable = standing + placesOfStock(draft, pools, 'warm', day) + heldPlaces(draft, day);
  const row = builder.row(Number.NEGATIVE_INFINITY, Math.max(situation.incubationPlaces, unavoidable) - standing);
  for (const start of draft.starts) {
    const places = situation.sizes[start.size]!.shelfPlaces;
    if (start.slot.day <= day && day < start.ripeDay) builder.term(row, start.column, places);
  }
  addStays(draft, row, day, pools, 'warmStays');
  limits.push({ row, kind: 'incubation-places', day, subject: 'incubation', capacity: situation.incubationPlaces });
}

function addColdRow(draft: ModelDraft, pools: readonly PoolVariables[], day: number): void {
  const { builder, situation, limits } = draft;
  const capacity = Math.max(situation.coldPlaces, placesOfStock(draft, pools, 'cold', day));
  const row = builder.row(Number.NEGATIVE_INFINITY, capacity);
  addStays(draft, row, day, pools, 'coldStays');
  limits.push({ row, kind: 'cold-places', day, subject: 'cold', capacity: situation.coldPlaces });
}

function addStays(
  { builder, situation }: ModelDraft,
  row: number,
  day: number,
  pools: readonly PoolVariables[],
  kind: 'warmStays' | 'coldStays',
): void {
  for (const pool of pools) {
    const places = situation.sizes[pool.size]!.shelfPlaces;
    for (const stay of staysOn(pool[kind], day)) builder.term(row, stay.column, places);
  }
}

/** The stays that cover a day. */
export function staysOn(stays: readonly Stay[], day: number): Stay[] {
  return stays.filter((stay) => stay.from <= day && day < stay.to);
}

/** Places of what is to be started in any case, as long as its warm life lasts. */
function heldPlaces({ starts, situation }: ModelDraft, day: number): number {
  return starts
    .filter(({ slot, ripeDay, strain }) => slot.day <= day && day <= ripeDay + situation.strains[strain]!.warmLifeDays)
    .reduce((sum, { fewest, size }) => sum + fewest * situation.sizes[size]!.shelfPlaces, 0);
}

/** Places of stock that is not ripe yet. */
function incubatingStockPlaces({ situation }: ModelDraft, day: number): number {
  return situation.containers
    .filter((each) => each.kind === 'warm' && each.from > day)
    .reduce((sum, each) => sum + situation.sizes[each.size]!.shelfPlaces, 0);
}

/** Places that ripe stock would take on a day if nobody touched it. */
function placesOfStock(
  { situation }: ModelDraft,
  pools: readonly PoolVariables[],
  kind: 'warm' | 'cold',
  day: number,
): number {
  return pools.reduce((sum, pool) => {
    const present = pool[kind].filter((arrival) => arrival.from <= day && day <= arrival.until);
    return sum + present.length * situation.sizes[pool.size]!.shelfPlaces;
  }, 0);
}
