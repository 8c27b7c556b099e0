import { requireThat } from '../errors.js';

/** Grams that can be used from one day on and no later than another; days as numbers. */
export interface Perishable {
  readonly code: string;
  readonly fromDay: number;
  /** Last day it can be used. */
  readonly lastDay: number;
  readonly grams: number;
}

export interface DatedDemand {
  readonly id: string;
  readonly day: number;
  readonly grams: number;
}

export interface Allocation {
  readonly uses: readonly {
    readonly day: number;
    readonly code: string;
    readonly demand: string;
    readonly grams: number;
  }[];
  readonly unmet: readonly { readonly demand: string; readonly grams: number }[];
  /** Stock that no demand takes before it expires: stranded. Soonest to expire first. */
  readonly stranded: readonly { readonly code: string; readonly grams: number; readonly lastDay: number }[];
}

/** Less than this is a float's last digit. */
const NOTHING_G = 1e-9;

/**
 * Gives each demand, in order of its day, the stock that expires soonest. No other order serves more of the demand
 * (an exchange argument; checked against a maximum matching in the tests).
 * @throws DomainError `mass-out-of-range`, `days-out-of-order`
 */
export function firstExpiredFirstOut(stock: readonly Perishable[], demands: readonly DatedDemand[]): Allocation {
  for (const { code, grams, fromDay, lastDay } of stock) {
    requireThat(grams >= 0 && Number.isFinite(grams), 'mass-out-of-range', `Jar ${code} has ${grams} g.`);
    requireThat(
      fromDay <= lastDay,
      'days-out-of-order',
      `Jar ${code} expires on day ${lastDay}, before it can be used on day ${fromDay}.`,
    );
  }
  for (const { id, grams } of demands)
    requireThat(grams >= 0 && Number.isFinite(grams), 'mass-out-of-range', `Run ${id} needs ${grams} g.`);
  const order = [...stock].sort((one, other) => one.lastDay - other.lastDay || one.fromDay - other.fromDay);
  const left = new Map(order.map((jar) => [jar, jar.grams]));
  const uses: { day: number; code: string; demand: string; grams: number }[] = [];
  const unmet: { demand: string; grams: number }[] = [];
  for (const { id, day, grams } of [...demands].sort((one, other) => one.day - other.day)) {
    let wanted = grams;
    for (const jar of order) {
      if (wanted <= NOTHING_G) break;
      if (jar.fromDay > day || jar.lastDay < day) continue;
      const taken = Math.min(wanted, left.get(jar)!);
      if (taken <= NOTHING_G) continue;
      wanted -= taken;
      left.set(jar, left.get(jar)! - taken);
      uses.push({ day, code: jar.code, demand: id, grams: taken });
    }
    if (wanted > NOTHING_G) unmet.push({ demand: id, grams: wanted });
  }
  const stranded = order
    .map((jar) => ({ code: jar.code, grams: left.get(jar)!, lastDay: jar.lastDay }))
    .filter(({ grams }) => grams > NOTHING_G);
  return { uses, unmet, stranded };
}
