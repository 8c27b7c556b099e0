import type { OrderFacts, RunFacts } from '../../offline/index.js';

/** An order a tablet knows as open. */
export type OpenOrder = RunFacts & { readonly order: OrderFacts };

/** Orders that still wait for jars, the soonest first. What a tablet kept from before there were orders names none. */
export const openOrders = (runs: readonly RunFacts[]): readonly OpenOrder[] =>
  runs.filter((run): run is OpenOrder => run.open && Boolean(run.order)).sort((a, b) => (a.day < b.day ? -1 : 1));
