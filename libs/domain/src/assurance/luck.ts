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
  /** Numbers that several lots share, by name. */
  private readonly normals = new Map<string, Float32Array>();
  private readonly tables = new Map<string, LossTable>();
  private readonly lots = new WeakMap<StrainChance, Map<string, LotLuck>>();

  constructor(seed: number, draws: number) {
    this.seed = seed;
    this.draws = draws;
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
    const { strain, grainBatch, cycle, mother } = chance.shared;
    const own = Math.max(0, 1 - strain - grainBatch - cycle - mother);
    const loss = this.mixed([
      [strain, `loss|${chance.strainId}`],
      [grainBatch, `loss|batch|${ties.grainBatch}`],
      [cycle, `loss|cycle|${ties.cycle}`],
      [mother, `loss|mother|${ties.mother}`],
      [own, `loss|lot|${ties.lot}`],
    ]);
    const ripening = this.mixed([
      [chance.ripeningShared, `ripe|${chance.strainId}`],
      [1 - chance.ripeningShared, `ripe|lot|${ties.lot}`],
    ]);
    const table = this.table(lossRate, chance.lotCorrelation);
    const rates = loss.map((deviate) => table.rateAt(deviate));
    return new LotLuck(rates, this.uniforms(`lost|${ties.lot}`), ripening, this.normal(`life|${ties.lot}`));
  }

  /** Uniform numbers by draw that belong to a name. */
  shared(key: string): Float32Array {
    const known = this.normals.get(key) ?? this.uniforms(key);
    this.normals.set(key, known);
    return known;
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
    const known = this.normals.get(key);
    if (known) return known;
    const uniform = this.uniforms(key);
    const second = this.uniforms(`${key}|2`);
    for (let draw = 0; draw < uniform.length; draw += 1) {
      const radius = Math.sqrt(-2 * Math.log(1 - uniform[draw]!));
      uniform[draw] = radius * Math.cos(2 * Math.PI * second[draw]!);
    }
    this.normals.set(key, uniform);
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

/** Luck of one lot in every draw. */
export class LotLuck {
  /** Standard deviates of its ripening and of how long it keeps. */
  readonly ripening: Float32Array;
  readonly life: Float32Array;
  private readonly rates: Float32Array;
  private readonly uniform: Float32Array;
  private readonly known = new Map<number, Uint16Array>();

  constructor(rates: Float32Array, uniform: Float32Array, ripening: Float32Array, life: Float32Array) {
    this.rates = rates;
    this.uniform = uniform;
    this.ripening = ripening;
    this.life = life;
  }

  /** Clean containers of n, by draw. */
  cleanOf(n: number): Uint16Array {
    const known = this.known.get(n);
    if (known) return known;
    const clean = new Uint16Array(this.rates.length);
    for (let draw = 0; draw < clean.length; draw += 1) clean[draw] = this.cleanIn(draw, n);
    this.known.set(n, clean);
    return clean;
  }

  cleanIn(draw: number, n: number): number {
    return n - lostContainers(n, this.rates[draw]!, this.uniform[draw]!);
  }

  /** The lot's own loss rate in a draw, and the quantile that decides how many containers it costs. */
  rateIn(draw: number): number {
    return this.rates[draw]!;
  }

  uniformIn(draw: number): number {
    return this.uniform[draw]!;
  }

  /** A number from 0 to below 1 that goes with the lot in this draw. */
  roundingIn(draw: number): number {
    // The digits that the count of lost containers did not look at.
    return (this.uniform[draw]! * 977) % 1;
  }
}

/** FNV-1a, then mixed well (murmur3's finaliser): names that differ in one letter have unlike luck. */
function hashOf(text: string, seed: number): number {
  let hash = 0x811c9dc5 ^ seed;
  for (let at = 0; at < text.length; at += 1) hash = Math.imul(hash ^ text.charCodeAt(at), 0x01000193);
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return hash ^ (hash >>> 16);
}
