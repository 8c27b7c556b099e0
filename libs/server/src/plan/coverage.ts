import type { RunCoverageJson } from '@jarfold/contracts';
import { coverageKind, shortGrams } from '@jarfold/domain';
import type { RunCoverage } from '@jarfold/domain/planning';
import type { StoredPlanRow } from './plan.repository.js';

/** How the newest plan covers each run in grams, by the run's id; an order's whole jars are counted by its feature. */
export function coverageByRun(plan: StoredPlanRow | null): Map<string, RunCoverageJson> {
  if (plan === null) return new Map();
  return new Map(plan.plan.runs.map((coverage) => [coverage.run, coverageJson(plan.id, coverage)]));
}

export function coverageJson(planId: string, coverage: RunCoverage): RunCoverageJson {
  const { strainId, minGrams, targetGrams, coveredGrams, probability, limit } = coverage;
  return {
    planId,
    strain: strainId,
    ...{ minGrams, targetGrams, coveredGrams, probability },
    limit: limit?.kind ?? null,
    limitWhere: limit?.where ?? null,
    limitMessage: limit?.message ?? null,
    kind: coverageKind(coverage),
    shortGrams: shortGrams(coverage),
    jars: null,
  };
}
