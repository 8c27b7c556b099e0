import { addDays } from '../calendar/calendar-day.js';
import { missingGrams } from './explain-shortages.js';
import type { BindingLimit } from './plan.js';
import type { RelaxedSession } from './solver-port.js';
import type { LimitRow, RunVariables, SpawnModel } from './spawn-model.js';

/** A little more of one limit, which the relaxed plan may buy. */
interface Offer {
  readonly kind: BindingLimit['kind'];
  readonly day: number;
  /** Strain it helps, or null when it helps all. */
  readonly strain: number | null;
  readonly where: string;
  readonly price: number;
  readonly tell: (amount: number) => string;
}

/** A run counts as lifted when the probe gives it at least this share of what it lacked. */
const LIFTED_SHARE = 0.5;

/**
 * Offers the relaxed plan more of every limit at about the price of a container, and sees what it buys. What it buys
 * before a run it can then cover is what bound that run, and the amount is the smallest that lifts it.
 */
export function probeLimits(
  model: SpawnModel,
  short: readonly RunVariables[],
  session: RelaxedSession,
): Map<number, BindingLimit> {
  const offers = [...model.limits.map((limit) => offerOf(model, limit)), ...motherOffers(model)];
  const firstColumn = model.programme.columns;
  for (const { offer, row, coefficient } of offers) {
    session.addColumn(offer.price, Number.POSITIVE_INFINITY, [row], [coefficient]);
  }
  const lifted = session.solve();
  if (lifted.status !== 'optimal') return new Map();
  const bought = offers
    .map(({ offer }, place) => ({ offer, amount: lifted.values[firstColumn + place]! }))
    .filter(({ amount }) => amount > 1e-6);
  const limits = new Map<number, BindingLimit>();
  for (const run of short) {
    const wish = run.run.targetGrams;
    const isLifted = missingGrams(run, lifted.values) <= (1 - LIFTED_SHARE) * wish;
    const limit = isLifted ? dearestBefore(run, bought) : null;
    if (limit) limits.set(run.run.index, limit);
  }
  return limits;
}

/** Of what was bought in time for the run, the dearest. */
function dearestBefore(
  { run }: RunVariables,
  bought: readonly { readonly offer: Offer; readonly amount: number }[],
): BindingLimit | null {
  const inTime = bought.filter(
    ({ offer }) => offer.day <= run.lastDay && (offer.strain === null || run.strains.includes(offer.strain)),
  );
  const [dearest] = [...inTime].sort((one, other) => other.offer.price * other.amount - one.offer.price * one.amount);
  if (!dearest) return null;
  const { kind, where, tell } = dearest.offer;
  return { kind, where, message: tell(dearest.amount) };
}

function offerOf(model: SpawnModel, limit: LimitRow): { offer: Offer; row: number; coefficient: number } {
  const { situation } = model;
  const date = addDays(situation.asOf, limit.day);
  const perContainer = Math.max(situation.costs.perContainerStarted, 0.01);
  const price = limit.kind === 'steriliser' ? perContainer + situation.costs.perCycle : perContainer;
  const strain = limit.kind === 'culture' ? situation.strains.findIndex((each) => each.id === limit.subject) : null;
  const more = (amount: number) => Math.ceil(amount - 1e-6);
  const sentences: Record<LimitRow['kind'], (amount: number) => string> = {
    bench: (amount) => `The bench takes ${limit.capacity} containers on ${date}; ${more(amount)} more would help.`,
    steriliser: (amount) => `The steriliser runs ${limit.capacity} cycles on ${date}; ${more(amount)} more would help.`,
    'incubation-places': (amount) =>
      `All ${limit.capacity} incubation places are taken on ${date}; ${more(amount)} more would help.`,
    'cold-places': (amount) =>
      `All ${limit.capacity} cold places are taken on ${date}; ${more(amount)} more would help.`,
    'clean-containers': (amount) =>
      `There are not enough clean ${limit.subject} for ${date}; ${more(amount)} more would help.`,
    culture: (amount) =>
      `Only ${limit.capacity} units of culture of ${limit.subject} can be had; ${more(amount)} more would help.`,
  };
  const where = limit.kind === 'clean-containers' || limit.kind === 'culture' ? limit.subject : date;
  return {
    offer: { kind: limit.kind, day: limit.day, strain, where, price, tell: sentences[limit.kind] },
    row: limit.row,
    coefficient: -1,
  };
}

/** Mother spawn as a gift, gram by gram, on any bench day. */
function motherOffers(model: SpawnModel): { offer: Offer; row: number; coefficient: number }[] {
  const { situation } = model;
  return model.inoculumRows.map(({ row, strain, generation, day }) => {
    const { id, inoculumGrams } = situation.strains[strain]!;
    const date = addDays(situation.asOf, day);
    const price = Math.max(situation.costs.perContainerStarted, 0.01) / Math.max(inoculumGrams, 1e-3);
    const tell = (amount: number) =>
      `Mothers of ${id} are short: ${Math.ceil(amount - 1e-6)} g more of generation ${generation - 1} on ${date} would help.`;
    const kind = generation === 1 ? 'culture' : 'mothers';
    return { offer: { kind, day, strain, where: date, price, tell }, row, coefficient: 1 };
  });
}
