import { chiSquareUpper } from './distributions.js';
import { type NotEnoughData, notEnoughData } from './estimate.js';
import type { Watched } from './kaplan-meier.js';

export interface LogRank {
  readonly kind: 'compared';
  readonly observedA: number;
  readonly expectedA: number;
  readonly observedB: number;
  readonly expectedB: number;
  readonly chiSquare: number;
  readonly pValue: number;
}

/**
 * Whether two sets of jars end at the same pace (log-rank test, Mantel 1966).
 * @example logRank(treated, untreated).pValue
 */
export function logRank(a: readonly Watched[], b: readonly Watched[]): LogRank | NotEnoughData {
  const days = [...new Set([...a, ...b].filter(({ ended }) => ended).map((jar) => jar.days))].sort((x, y) => x - y);
  if (a.length === 0 || b.length === 0 || days.length === 0)
    return notEnoughData(a.length + b.length, 2, 'both sets need jars, and some jar must have ended');
  let [expectedA, expectedB, variance] = [0, 0, 0];
  for (const day of days) {
    const [riskA, riskB] = [atRisk(a, day), atRisk(b, day)];
    const ended = endedOn(a, day) + endedOn(b, day);
    const risk = riskA + riskB;
    expectedA += (ended * riskA) / risk;
    expectedB += (ended * riskB) / risk;
    if (risk > 1) variance += (ended * riskA * riskB * (risk - ended)) / (risk * risk * (risk - 1));
  }
  if (variance === 0) return notEnoughData(a.length + b.length, 2, 'no day had jars of both sets at risk');
  const observedA = a.filter(({ ended }) => ended).length;
  const observedB = b.filter(({ ended }) => ended).length;
  const chiSquare = (observedA - expectedA) ** 2 / variance;
  return {
    kind: 'compared',
    observedA,
    expectedA,
    observedB,
    expectedB,
    chiSquare,
    pValue: chiSquareUpper(chiSquare, 1),
  };
}

const atRisk = (jars: readonly Watched[], day: number): number => jars.filter(({ days }) => days >= day).length;
const endedOn = (jars: readonly Watched[], day: number): number =>
  jars.filter(({ days, ended }) => ended && days === day).length;
