import { type SeededRandom, seededRandom } from '@jarfold/domain';

/** The domain's repeatable randomness in the words of a story: the same seed gives the same farm. */
export class StoryRandom {
  readonly #random: SeededRandom;

  constructor(seed: number) {
    this.#random = seededRandom(seed);
  }

  /** Uniform from 0 to below 1. */
  next(): number {
    return this.#random.uniform();
  }

  chance(probability: number): boolean {
    return this.next() < probability;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.next();
  }

  /** Whole, both ends included. */
  whole(low: number, high: number): number {
    return low + this.#random.whole(high - low + 1);
  }

  pick<T>(items: readonly T[]): T {
    return items[this.#random.whole(items.length)]!;
  }

  /** Normal about a mean. */
  around(mean: number, spread: number): number {
    return mean + spread * this.#random.normal();
  }

  /** A version 4 UUID drawn from this stream. */
  uuid(): string {
    const hex = Array.from({ length: 32 }, () => Math.floor(this.next() * 16).toString(16));
    hex[12] = '4';
    hex[16] = '89ab'[Math.floor(this.next() * 4)]!;
    const text = hex.join('');
    return [text.slice(0, 8), text.slice(8, 12), text.slice(12, 16), text.slice(16, 20), text.slice(20)].join('-');
  }
}
