import type { RunCoverageJson } from '@jarfold/contracts';
import { type JarForOrder, orderInPlan } from '@jarfold/domain';
import { coverageByRun, type StoredPlanRow } from '../plan/index.js';
import type { GrowerTx } from '../platform/index.js';
import type { OrderRow, RunRow } from './runs.repository.js';

/** How the newest plan covers each run, by the run's id; an order in whole jars of its size. */
export async function coverageOfRuns(
  tx: GrowerTx,
  growerId: string,
  plan: StoredPlanRow | null,
  runs: readonly RunRow[],
): Promise<ReadonlyMap<string, RunCoverageJson>> {
  const coverage = coverageByRun(plan);
  const orders = runs.filter((run): run is OrderRow => run.kind === 'order' && coverage.has(run.id));
  if (plan === null || orders.length === 0) return coverage;
  const jars = await jarsForOrders(tx, growerId, plan, orders);
  for (const order of orders) {
    const { kind, shortGrams, otherGrams, left, covered, least } = orderInPlan(
      plan.plan,
      { run: order.id },
      order,
      jars,
    );
    const counted = { kind, shortGrams, jars: { left, covered, least, otherGrams } };
    coverage.set(order.id, { ...coverage.get(order.id)!, ...counted });
  }
  return coverage;
}

async function jarsForOrders(
  tx: GrowerTx,
  growerId: string,
  { plan }: StoredPlanRow,
  orders: readonly OrderRow[],
): Promise<ReadonlyMap<string, JarForOrder>> {
  const ids = new Set(orders.map(({ id }) => id));
  const codes = plan.uses.flatMap(({ from, to }) => (to.kind === 'run' && ids.has(to.run) ? [from] : []));
  const rows = await tx.jar.findMany({
    where: { growerId, code: { in: [...new Set(codes)] } },
    select: { code: true, sizeId: true, state: true },
  });
  return new Map(rows.map(({ code, sizeId, state }) => [code, { sizeId, opened: state === 'opened' }]));
}
