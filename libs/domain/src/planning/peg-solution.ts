import { addDays } from '../calendar/calendar-day.js';
import { pegPools } from './peg-pools.js';
import { InoculumWants, pegBuckets, pegCultures } from './peg-uses.js';
import { type PeggedLoad, type PeggedOrder, type PeggedPlan, type PeggedStart, startId } from './pegged-plan.js';
import type { SpawnModel } from './spawn-model.js';

/** Reads a whole-number solution back into named containers, starts and days. */
export function pegSolution(model: SpawnModel, values: Float64Array): PeggedPlan {
  const starts = pegStarts(model, values);
  const orders = pegOrders(model, values);
  const inOrder = [...starts.values()];
  const pools = pegPools(model, values, starts);
  const buckets = pegBuckets(model, values, pools.opened, new InoculumWants(inOrder));
  return {
    starts: inOrder,
    orders,
    loads: pegLoads(model, values, inOrder),
    uses: [...pegCultures(model.situation, orders, inOrder), ...buckets.uses],
    chillings: pools.chillings,
    warmings: pools.warmings,
    discards: [...pools.discards, ...buckets.discards],
    left: pools.left,
    lacks: model.reserves.map(({ strain, day, until, missing }) => ({
      strain,
      day,
      until,
      missing: Math.round(values[missing]! * 1000) / 1000,
    })),
  };
}

function pegStarts({ situation, starts }: SpawnModel, values: Float64Array): Map<number, PeggedStart> {
  const pegged = new Map<number, PeggedStart>();
  starts.forEach((start, place) => {
    const containers = Math.round(values[start.column]!);
    if (containers === 0) return;
    const strain = situation.strains[start.strain]!;
    const size = situation.sizes[start.size]!;
    pegged.set(place, {
      id: startId(addDays(situation.asOf, start.slot.day), strain.id, start.generation, size.id),
      strain: start.strain,
      generation: start.generation,
      size: start.size,
      benchDay: start.slot.day,
      ripeDay: start.ripeDay,
      containers,
      prepared: Math.min(containers, start.prepared),
      gramsEach: start.gramsEach,
      inoculumGramsEach: start.inoculumGramsEach,
    });
  });
  return pegged;
}

function pegOrders({ situation, cultures }: SpawnModel, values: Float64Array): PeggedOrder[] {
  return cultures.flatMap(({ strain, orders }) => {
    const { id, culture } = situation.strains[strain]!;
    return orders
      .map((order) => ({ order, units: Math.round(values[order.column]!) }))
      .filter(({ units }) => units > 0)
      .map(({ order, units }) => ({
        id: `culture:${addDays(situation.asOf, order.slot.day)}:${id}`,
        strain,
        orderBy: order.slot.day - culture!.leadDays,
        readyOn: order.slot.day,
        units,
        gramsPerUnit: order.gramsPerUnit,
      }));
  });
}

function pegLoads({ cycles }: SpawnModel, values: Float64Array, starts: readonly PeggedStart[]): PeggedLoad[] {
  return cycles
    .filter(({ slot }) => starts.some((start) => start.benchDay === slot.day && start.containers > start.prepared))
    .map(({ slot, column }) => ({
      preparationDay: slot.preparationDay,
      benchDay: slot.day,
      cycles: Math.round(values[column]!),
    }));
}
