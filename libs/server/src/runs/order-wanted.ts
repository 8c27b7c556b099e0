import type { NewOrder } from '@jarfold/contracts';
import { canSpawnSubstrate, isoWeek } from '@jarfold/domain';
import { listSizes, merged, type StrainRow } from '../farm/index.js';
import { AppError, type GrowerContext, type GrowerTx } from '../platform/index.js';
import type { OrderRow } from './runs.repository.js';

/** What a person states about an order; its grams follow from its size. */
export type OrderStated = Pick<
  OrderRow,
  'kind' | 'name' | 'day' | 'strainIds' | 'minShare' | 'priority' | 'slackDays' | 'note' | 'jars' | 'sizeId' | 'forWhom'
>;

/** A new order with what was left out filled in: all of its jars are wanted. */
export function statedOrder({ id: _id, ...said }: NewOrder, firstStrain: StrainRow): OrderStated {
  const start: OrderStated = {
    ...{ kind: 'order', day: said.day, strainIds: said.strainIds, jars: said.jars, sizeId: said.sizeId },
    name: `${firstStrain.code} order week ${isoWeek(said.day).week}`,
    ...{ minShare: 1, priority: 1, slackDays: 0, note: null, forWhom: null },
  };
  return merged(start, said);
}

/**
 * The size an order names: one of the farm's in use, of a kind that spawns substrate. Plates and syringes are cultures,
 * which the planner never gives away.
 * @throws AppError `rule-refused`
 */
export async function requireSize(tx: GrowerTx, { growerId }: GrowerContext, sizeId: string): Promise<void> {
  const size = (await listSizes(tx, growerId)).find(({ id, archived }) => id === sizeId && !archived);
  if (size === undefined) throw refusedSize('No container size in use has this id.');
  if (!canSpawnSubstrate(size.carrier)) {
    throw refusedSize(`"${size.name}" holds ${size.carrier}, a culture: orders are for containers of spawn.`);
  }
}

const refusedSize = (detail: string) =>
  new AppError('rule-refused', 'The order names a container size it cannot be for.', {
    errors: [{ in: 'body', pointer: '/sizeId', detail }],
  });
