import { requireThat } from '../errors.js';
import { binomialCdf } from '../statistics/distributions.js';

/** Look at so many jars; the lot is taken when no more than `accept` of them are bad. */
export interface SamplingPlan {
  readonly looks: number;
  readonly accept: number;
}

export interface StandardPlan extends SamplingPlan {
  readonly code: string;
}

/** Chance that a lot is taken when this share of its jars is bad. */
export const chanceTaken = ({ looks, accept }: SamplingPlan, badShare: number): number =>
  binomialCdf(accept, looks, badShare);

/** Acceptable quality limits of the standard, percent bad, as far as jars of spawn may need them. */
export const acceptableLimits = [0.65, 1, 1.5, 2.5, 4, 6.5, 10, 15] as const;
export type AcceptableLimit = (typeof acceptableLimits)[number];

/** Use the plan of the next longer (or shorter) sample. */
type Cell = number | 'longer' | 'shorter';

/** General inspection level II: largest lot, code letter, jars to look at, rejection number by limit. */
const TABLE: readonly (readonly [upTo: number, code: string, looks: number, reject: readonly Cell[]])[] = [
  [50, 'D', 8, ['longer', 'longer', 1, 'shorter', 'longer', 2, 3, 4]],
  [90, 'E', 13, ['longer', 1, 'shorter', 'longer', 2, 3, 4, 6]],
  [150, 'F', 20, [1, 'shorter', 'longer', 2, 3, 4, 6, 8]],
  [280, 'G', 32, ['shorter', 'longer', 2, 3, 4, 6, 8, 11]],
  [500, 'H', 50, ['longer', 2, 3, 4, 6, 8, 11, 15]],
  [1200, 'J', 80, [2, 3, 4, 6, 8, 11, 15, 22]],
  [3200, 'K', 125, [3, 4, 6, 8, 11, 15, 22, 'shorter']],
  [10_000, 'L', 200, [4, 6, 8, 11, 15, 22, 'shorter', 'shorter']],
];
const SMALLEST_LOT = 26;
/** Where the arrow of code D at 2.5 % points; the rows of smaller lots are otherwise not needed. */
const ABOVE_TABLE: StandardPlan = { code: 'C', looks: 5, accept: 0 };

/**
 * How to look at a lot that was bought or given: normal inspection, single sampling, general level II of ISO 2859-1 (the
 * same as MIL-STD-105E), for lots of 26 to 10,000 jars. Smaller lots are looked at jar by jar, or by
 * {@link checksToFind}.
 * @param limit percent of bad jars that would still be acceptable
 * @throws DomainError `checks-out-of-range`
 * @example standardPlan(2000, 0.65) // { code: 'K', looks: 125, accept: 2 }
 */
export function standardPlan(lotJars: number, limit: AcceptableLimit): StandardPlan {
  requireThat(
    Number.isInteger(lotJars) && lotJars >= SMALLEST_LOT && lotJars <= 10_000,
    'checks-out-of-range',
    `The standard plans are for lots of ${SMALLEST_LOT} to 10000 jars, not ${lotJars}: look at every jar of a smaller lot.`,
  );
  const column = acceptableLimits.indexOf(limit);
  requireThat(
    column >= 0,
    'checks-out-of-range',
    `The limits of the standard are ${acceptableLimits.join(', ')}, not ${limit}.`,
  );
  let row = TABLE.findIndex(([upTo]) => lotJars <= upTo);
  for (let entry = TABLE[row]; entry !== undefined; entry = TABLE[row]) {
    const [, code, looks, reject] = entry;
    const cell = reject[column]!;
    if (typeof cell === 'number') return { code, looks, accept: cell - 1 };
    row += cell === 'longer' ? 1 : -1;
  }
  return ABOVE_TABLE;
}

/** A share of bad jars and the least or most chance with which a lot of it should be taken. */
export interface RiskPoint {
  readonly badShare: number;
  readonly chance: number;
}

const MOST_LOOKS = 5000;

/**
 * The shortest plan that takes a good lot with at least one chance and a bad one with at most another.
 * @param good share of bad jars of a good lot, and the chance with which it must be taken
 * @param bad share of bad jars of a bad lot, and the most chance with which it may be taken
 * @throws DomainError `checks-out-of-range`
 * @example smallestPlan({ badShare: 0.05, chance: 0.95 }, { badShare: 0.15, chance: 0.075 }) // { looks: 80, accept: 7 }
 */
export function smallestPlan(good: RiskPoint, bad: RiskPoint): SamplingPlan {
  const inside = [good.badShare, good.chance, bad.badShare, bad.chance].every((value) => value > 0 && value < 1);
  requireThat(
    inside && good.badShare < bad.badShare && good.chance > bad.chance,
    'checks-out-of-range',
    'A good lot has fewer bad jars than a bad one and is taken more often; shares and chances lie between 0 and 1.',
  );
  let looks = 1;
  for (let accept = 0; looks <= MOST_LOOKS; accept++) {
    looks = Math.max(looks, accept + 1);
    while (looks <= MOST_LOOKS && chanceTaken({ looks, accept }, bad.badShare) > bad.chance) looks++;
    if (chanceTaken({ looks, accept }, good.badShare) >= good.chance) return { looks, accept };
  }
  requireThat(false, 'checks-out-of-range', `No plan of up to ${MOST_LOOKS} jars tells lots so alike apart.`);
  return { looks, accept: 0 };
}
