import { requireThat } from '../errors.js';

/** The four run rules of the Western Electric handbook; each is about values on one side of the centre. */
export type RunRule =
  | 'one beyond three sigmas'
  | 'two of three beyond two sigmas'
  | 'four of five beyond one sigma'
  | 'eight in a row on one side';

export interface RunSignal {
  /** Index of the value that completes the pattern. */
  readonly at: number;
  readonly rule: RunRule;
  readonly side: 'above' | 'below';
}

interface Pattern {
  readonly rule: RunRule;
  readonly hits: number;
  readonly of: number;
  readonly beyond: number;
}

const PATTERNS: readonly Pattern[] = [
  { rule: 'one beyond three sigmas', hits: 1, of: 1, beyond: 3 },
  { rule: 'two of three beyond two sigmas', hits: 2, of: 3, beyond: 2 },
  { rule: 'four of five beyond one sigma', hits: 4, of: 5, beyond: 1 },
  { rule: 'eight in a row on one side', hits: 8, of: 8, beyond: 0 },
];

export const runRules: readonly RunRule[] = PATTERNS.map(({ rule }) => rule);

/**
 * Patterns that chance seldom makes in a series of standardised values (value less centre, in sigmas). All four together
 * cry wolf about every 92 values, the first alone every 370: the watch uses a running average instead, and these are for
 * whoever knows them.
 * @param rules which to look for; all four when left out
 * @throws DomainError `chart-out-of-range` for a value that is no number
 * Source: Western Electric, Statistical Quality Control Handbook (1956); false alarms after Champ and Woodall,
 * Technometrics 29 (1987).
 */
export function runSignals(standardised: readonly number[], rules: readonly RunRule[] = runRules): RunSignal[] {
  for (const value of standardised)
    requireThat(Number.isFinite(value), 'chart-out-of-range', `A standardised value is a number, not ${value}.`);
  const patterns = PATTERNS.filter(({ rule }) => rules.includes(rule));
  const signals: RunSignal[] = [];
  for (let at = 0; at < standardised.length; at++)
    for (const pattern of patterns) {
      const side = standardised[at]! > 0 ? 'above' : 'below';
      if (completes(standardised, at, pattern, side === 'above' ? 1 : -1))
        signals.push({ at, rule: pattern.rule, side });
    }
  return signals;
}

/** The newest value must itself lie beyond: a pattern is called when it comes about, not while it fades. */
function completes(values: readonly number[], at: number, { hits, of, beyond }: Pattern, sign: 1 | -1): boolean {
  if (at + 1 < hits || sign * values[at]! <= beyond) return false;
  let found = 0;
  for (let i = Math.max(0, at - of + 1); i <= at; i++) if (sign * values[i]! > beyond) found++;
  return found >= hits;
}
