import type { BulkRun } from '../../planning/situation.js';
import type { WeekDecision } from '../policy.js';
import type { SeasonJar } from '../season-jar.js';
import { LITTLE_GRAMS, type SeasonStock } from './season-stock.js';
import type { SeasonRunResult } from './season-totals.js';

/** Gives runs their spawn on their day. */
export class SeasonRuns {
  readonly results: SeasonRunResult[] = [];
  private readonly stock: SeasonStock;

  constructor(stock: SeasonStock) {
    this.stock = stock;
  }

  /** First expired first out, as the farm knows expiry; what is kept for mothering stays. */
  feed(day: number, run: BulkRun, decision: Pick<WeekDecision, 'gramsForRun' | 'kept'>): void {
    const { strains, costs } = this.stock.farm.start;
    const upTo = Math.min(run.targetGrams, decision.gramsForRun.get(run.id) ?? run.targetGrams);
    let grams = 0;
    for (const strainId of run.strainIds) {
      const strain = strains.findIndex(({ id }) => id === strainId);
      if (strain >= 0) grams += this.take(day, strain, upTo - grams, decision.kept);
    }
    const covered = grams >= run.minGrams - LITTLE_GRAMS;
    const weight = 1 / Math.max(1, run.priority);
    const { cost } = this.stock.totals;
    cost.short += Math.max(0, run.minGrams - grams) * weight * costs.perGramShort;
    cost.belowTarget +=
      Math.max(0, run.targetGrams - Math.max(grams, run.minGrams)) * weight * costs.perGramBelowTarget;
    const { id, minGrams, targetGrams } = run;
    this.results.push({ run: id, day, grams, minGrams, targetGrams, covered });
  }

  private take(day: number, strain: number, wanted: number, kept: ReadonlySet<string> | null): number {
    const { stock } = this;
    const able = stock.jars
      .filter((jar) => jar.strain === strain && jar.generation > 0 && !jar.keptAsMother && stock.isReady(jar, day))
      .sort(
        (one, other) =>
          Number(other.state === 'opened') - Number(one.state === 'opened') ||
          stock.knownUntil(one) - stock.knownUntil(other),
      );
    const reserve = kept === null ? this.reserveOf(strain, day) : null;
    const stays = (jar: SeasonJar) =>
      reserve === null ? jar.state !== 'opened' && kept!.has(jar.code) : reserve.has(jar);
    let grams = 0;
    for (const jar of able) {
      if (grams >= wanted - LITTLE_GRAMS) break;
      if (stays(jar)) continue;
      if (!stock.open(jar, day)) continue;
      const part = Math.min(jar.gramsLeft, wanted - grams);
      jar.gramsLeft -= part;
      grams += part;
    }
    return grams;
  }

  /** The youngest ripe jars, as many as the strain keeps as mothers. */
  private reserveOf(strain: number, day: number): Set<SeasonJar> {
    const { stock } = this;
    const { motherReserve, lastGeneration } = stock.farm.start.strains[strain]!;
    const mothers = stock.jars
      .filter((jar) => jar.strain === strain && jar.generation > 0 && jar.generation < lastGeneration)
      .filter((jar) => stock.isReady(jar, day) && jar.state !== 'opened')
      .sort((one, other) => one.generation - other.generation || stock.knownUntil(other) - stock.knownUntil(one));
    return new Set(mothers.slice(0, motherReserve));
  }
}
