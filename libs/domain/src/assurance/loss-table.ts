import { atDeviate, SHARES_BELOW } from './normal.js';

const POINTS = SHARES_BELOW.length;
const GRID = 320;

/**
 * Loss rate of a lot from a standard normal deviate, so that rates are beta distributed and lots can share a part of
 * their deviate (a Gaussian copula: the marginal of every lot stays exactly beta-binomial).
 */
export class LossTable {
  private readonly rates = new Float64Array(POINTS);

  /**
   * @param mean average loss rate, 0 to below 1
   * @param correlation between two containers of one lot, 0 to below 1; 1/(a + b + 1) of the beta distribution
   */
  constructor(mean: number, correlation: number) {
    if (mean <= 0 || correlation <= 1e-6) this.rates.fill(Math.max(0, mean));
    else fillBetaQuantiles(this.rates, mean * (1 / correlation - 1), (1 - mean) * (1 / correlation - 1));
  }

  rateAt(deviate: number): number {
    return atDeviate(this.rates, deviate);
  }
}

/**
 * Quantiles of Beta(a, b) at the grid of deviates. The distribution function is summed over y = x^a, in which the
 * density is bounded at 0 also for a below 1; the grid is finer where rates are small.
 */
function fillBetaQuantiles(rates: Float64Array, a: number, b: number): void {
  const mean = a / (a + b);
  const deviation = Math.sqrt((mean * (1 - mean)) / (a + b + 1));
  const top = a < 0.5 ? 1 : Math.min(1, mean + 12 * deviation);
  const crowding = Math.max(2, Math.min(25, 1 / a));
  const xs = new Float64Array(GRID + 1);
  const below = new Float64Array(GRID + 1);
  let yBefore = 0;
  let heightBefore = 1;
  for (let i = 1; i <= GRID; i += 1) {
    const x = top * (i / GRID) ** crowding;
    const y = x ** a;
    const height = x < 1 ? (1 - x) ** (b - 1) : b > 1 ? 0 : heightBefore;
    xs[i] = x;
    below[i] = below[i - 1]! + ((height + heightBefore) / 2) * (y - yBefore);
    yBefore = y;
    heightBefore = height;
  }
  const all = below[GRID]!;
  let at = 0;
  for (let point = 0; point < POINTS; point += 1) {
    const wanted = SHARES_BELOW[point]! * all;
    while (at < GRID - 1 && below[at + 1]! < wanted) at += 1;
    const [low, high] = [below[at]!, below[at + 1]!];
    const share = high > low ? Math.min(1, Math.max(0, (wanted - low) / (high - low))) : 0;
    // Within a step the distribution function follows x^a, not x.
    const y = xs[at]! ** a + share * (xs[at + 1]! ** a - xs[at]! ** a);
    rates[point] = Math.min(1 - 1e-9, y ** (1 / a));
  }
}
