import { seededRandom } from '../statistics/seeded-random.js';
import type { StrainChance } from './farm-chance.js';
import { LossTable } from './loss-table.js';
import { lostContainers } from './lost-containers.js';

/** What a lot shares its luck with. Equal names share. */
export interface LotTies {
  readonly lot: string;
  readonly grainBatch: string;
  readonly cycle: string;
  readonly mother: string;
}

/**
 * Luck of every lot in every draw. It depends on the seed and on names only, never on what a plan does with a lot: two
 * plans meet the same luck, so that what differs between them is the plan (common random numbers).
 */
export class Luck {
  readonly draws: number;
  private readonly seed: number;
  /** The luck of more draws that this is the first part of. */
  private readonly whole: Luck | null;
  /** Numbers by name: several lots share some, and a lot that changes what it shares with keeps its own. */
  private readonly numbers: Map<string, Float32Array>;
  private readonly tables = new Map<string, LossTable>();
  private readonly lots = new WeakMap<StrainChance, Map<string, LotLuck>>();

  /** @param numbers of this seed and so many draws, where some are known already */
  constructor(seed: number, draws: number, whole: Luck | null = null, numbers = new Map<string, Float32Array>()) {
    this.seed = seed;
    this.draws = draws;
    this.whole = whole;
    this.numbers = numbers;
  }

  /** The luck of so many draws of the same seed: the first of these, as far as there are so many. */
  first(draws: number): Luck {
    return new Luck(this.seed, draws, draws <= this.draws ? this : null);
  }

  /** @param lossRate what is still expected to be lost of the lot, if that is not the strain's rate */
  lot(chance: StrainChance, ties: LotTies, lossRate = chance.lossRate): LotLuck {
    const ofStrain = this.lots.get(chance) ?? new Map<string, LotLuck>();
    this.lots.set(chance, ofStrain);
    const key = [lossRate, ties.lot, ties.grainBatch, ties.cycle, ties.mother].join('|');
    const known = ofStrain.get(key) ?? this.drawnLot(chance, ties, lossRate);
    ofStrain.set(key, known);
    return known;
  }

  private drawnLot(chance: StrainChance, ties: LotTies, lossRate: number): LotLuck {
    return new LotLuck(this.draws, {
      rates: () => this.ratesOf(chance, ties, lossRate),
      uniform: () => this.shared(`lost|${ties.lot}`),
      ripening: () => this.ripeningOf(chance, ties),
      life: () => this.normal(`life|${ties.lot}`),
    });
  }

  private ratesOf(chance: StrainChance, ties: LotTies, lossRate: number): Float32Array {
    if (lossRate <= 0) return NEVER_LOST;
    const { strain, grainBatch, cycle, mother } = chance.shared;
    const own = Math.max(0, 1 - strain - grainBatch - cycle - mother);
    const loss = this.mixed([
      [strain, `loss|${chance.strainId}`],
      [grainBatch, `loss|batch|${ties.grainBatch}`],
      [cycle, `loss|cycle|${ties.cycle}`],
      [mother, `loss|mother|${ties.mother}`],
      [own, `loss|lot|${ties.lot}`],
    ]);
    return this.ratesAt(loss, this.table(lossRate, chance.lotCorrelation));
  }

  private ratesAt(deviates: Float32Array, table: LossTable): Float32Array {
    const rates = new Float32Array(this.draws);
    for (let draw = 0; draw < rates.length; draw += 1) rates[draw] = table.rateAt(deviates[draw]!);
    return rates;
  }

  private ripeningOf(chance: StrainChance, { lot }: LotTies): Float32Array {
    return this.mixed([
      [chance.ripeningShared, `ripe|${chance.strainId}`],
      [1 - chance.ripeningShared, `ripe|lot|${lot}`],
    ]);
  }

  /** Uniform numbers by draw that belong to a name. */
  shared(key: string): Float32Array {
    return this.known(key, () => this.whole?.shared(key).subarray(0, this.draws) ?? this.uniforms(key));
  }

  private mixed(parts: readonly (readonly [share: number, key: string])[]): Float32Array {
    const sum = new Float32Array(this.draws);
    for (const [share, key] of parts) {
      if (share <= 0) continue;
      const weight = Math.sqrt(share);
      const deviates = this.normal(key);
      for (let draw = 0; draw < sum.length; draw += 1) sum[draw]! += weight * deviates[draw]!;
    }
    return sum;
  }

  private normal(key: string): Float32Array {
    return this.known(key, () => this.whole?.normal(key).subarray(0, this.draws) ?? this.normals(key));
  }

  private known(key: string, draw: () => Float32Array): Float32Array {
    const known = this.numbers.get(key) ?? draw();
    this.numbers.set(key, known);
    return known;
  }

  private normals(key: string): Float32Array {
    const uniform = this.uniforms(key);
    const second = this.uniforms(`${key}|2`);
    for (let draw = 0; draw < uniform.length; draw += 1) {
      const radius = Math.sqrt(-2 * Math.log(1 - uniform[draw]!));
      uniform[draw] = radius * Math.cos(2 * Math.PI * second[draw]!);
    }
    return uniform;
  }

  private uniforms(key: string): Float32Array {
    const random = seededRandom(hashOf(key, this.seed));
    const values = new Float32Array(this.draws);
    // Rounding to 32 bits could give 1, whose logarithm of 1 − u is not a number.
    for (let draw = 0; draw < values.length; draw += 1) values[draw] = Math.min(0.99999994, random.uniform());
    return values;
  }

  private table(lossRate: number, correlation: number): LossTable {
    const key = `${lossRate.toFixed(4)}|${correlation.toFixed(5)}`;
    const table = this.tables.get(key) ?? new LossTable(lossRate, correlation);
    this.tables.set(key, table);
    return table;
  }
}

/** The loss rates of what is ripe: it loses nothing more. */
const NEVER_LOST = new Float32Array(0);

/** The numbers of a lot by draw, each worked out when it is first asked for: what is ripe needs few of them. */
interface LotNumbers {
  /** Loss rates, and the quantiles that decide how many containers they cost. */
  readonly rates: () => Float32Array;
  readonly uniform: () => Float32Array;
  readonly ripening: () => Float32Array;
  readonly life: () => Float32Array;
}

/** Luck of one lot in every draw. */
export class LotLuck {
  readonly draws: number;
  private readonly numbers: LotNumbers;
  private readonly drawn: { -readonly [Name in keyof LotNumbers]?: Float32Array } = {};
  private readonly known = new Map<number, Uint16Array>();
  private rounded: Float64Array | null = null;

  constructor(draws: number, numbers: LotNumbers) {
    this.draws = draws;
    this.numbers = numbers;
  }

  /** Standard deviates of its ripening. */
  get ripening(): Float32Array {
    this.drawn.ripening ??= this.numbers.ripening();
    return this.drawn.ripening;
  }

  /** Standard deviates of how long it keeps. */
  get life(): Float32Array {
    this.drawn.life ??= this.numbers.life();
    return this.drawn.life;
  }

  private get rates(): Float32Array {
    this.drawn.rates ??= this.numbers.rates();
    return this.drawn.rates;
  }

  private get uniform(): Float32Array {
    this.drawn.uniform ??= this.numbers.uniform();
    return this.drawn.uniform;
  }

  /** Clean containers of n, by draw. */
  cleanOf(n: number): Uint16Array {
    const known = this.known.get(n);
    if (known) return known;
    const clean = new Uint16Array(this.draws).fill(n);
    if (n > 0) this.loseFrom(clean, n);
    this.known.set(n, clean);
    return clean;
  }

  private loseFrom(clean: Uint16Array, n: number): void {
    const { rates } = this;
    if (rates === NEVER_LOST) return;
    const { uniform } = this;
    for (let draw = 0; draw < clean.length; draw += 1) clean[draw]! -= lostContainers(n, rates[draw]!, uniform[draw]!);
  }

  cleanIn(draw: number, n: number): number {
    return this.rates === NEVER_LOST ? n : n - lostContainers(n, this.rates[draw]!, this.uniform[draw]!);
  }

  /** The lot's own loss rate in a draw, and the quantile that decides how many containers it costs. */
  rateIn(draw: number): number {
    return this.rates[draw] ?? 0;
  }

  uniformIn(draw: number): number {
    return this.uniform[draw]!;
  }

  /** A number from 0 to below 1 that goes with the lot in each draw. */
  get roundings(): Float64Array {
    // The digits that the count of lost containers did not look at.
    this.rounded ??= lastDigits(this.uniform);
    return this.rounded;
  }
}

function lastDigits(uniform: Float32Array): Float64Array {
  const digits = new Float64Array(uniform.length);
  for (let draw = 0; draw < digits.length; draw += 1) digits[draw] = (uniform[draw]! * 977) % 1;
  return digits;
}

/** FNV-1a, then mixed well (murmur3's finaliser): names that differ in one letter have unlike luck. */
function hashOf(text: string, seed: number): number {
  let hash = 0x811c9dc5 ^ seed;
  for (let at = 0; at < text.length; at += 1) hash = Math.imul(hash ^ text.charCodeAt(at), 0x01000193);
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return hash ^ (hash >>> 16);
}
