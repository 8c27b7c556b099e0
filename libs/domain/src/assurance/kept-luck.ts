import { Luck } from './luck.js';

/** Some 32 MB of the largest plan's 2,000 draws; a farm of 300 containers a week needs about a third of them. */
const MOST_NUMBERS = 4_000;

/**
 * Luck whose numbers are kept from one plan to the next: they depend on seed, draws and names only, and whoever plans a
 * farm again meets most of its names again. What is kept changes no plan. Bounded: with too many of them it begins anew.
 */
export class KeptLuck {
  private readonly numbers = new Map<string, Map<string, Float32Array>>();

  /** Luck of so many draws of a seed. */
  luck(seed: number, draws: number): Luck {
    const key = `${seed} ${draws}`;
    const known = this.numbers.get(key);
    const numbers = known !== undefined && known.size <= MOST_NUMBERS ? known : new Map<string, Float32Array>();
    this.numbers.set(key, numbers);
    return new Luck(seed, draws, null, numbers);
  }
}
