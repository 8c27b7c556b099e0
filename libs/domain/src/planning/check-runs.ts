import type { CheckedFarm } from './check-farm.js';
import { TELLING_G } from './check-starts.js';

/** Runs get what the plan says, on one day within their slack, from one allowed strain, never more than their maximum. */
export function checkRuns(farm: CheckedFarm): void {
  for (const run of farm.situation.runs) {
    const coverage = farm.plan.runs.find((each) => each.run === run.id);
    farm.expect(coverage !== undefined, () => `${run.id}: not in the plan`);
    if (!coverage) continue;
    const uses = farm.plan.uses.filter((use) => use.to.kind === 'run' && use.to.run === run.id);
    const grams = uses.reduce((sum, use) => sum + use.grams, 0);
    const slack = TELLING_G * (uses.length + 1);
    farm.expect(
      Math.abs(grams - coverage.coveredGrams) <= slack,
      () => `${run.id}: covered ${coverage.coveredGrams} g, uses ${grams} g`,
    );
    farm.expect(grams <= run.maxGrams + slack, () => `${run.id}: ${grams} g, at most ${run.maxGrams} g`);
    farm.expect(
      run.strainIds.includes(coverage.strainId) || grams === 0,
      () => `${run.id}: strain ${coverage.strainId}`,
    );
    for (const use of uses) checkUse(farm, run.id, coverage, use);
    const late = farm.day(coverage.day) - Math.max(0, farm.day(run.day));
    farm.expect(grams === 0 || (late >= 0 && late <= run.slackDays), () => `${run.id}: ${late} days late`);
    const isShort = grams < Math.min(run.targetGrams, run.maxGrams) - 1 - slack;
    farm.expect(!isShort || coverage.limit !== null, () => `${run.id}: short without a named limit`);
  }
}

function checkUse(
  farm: CheckedFarm,
  run: string,
  coverage: { readonly day: string; readonly strainId: string },
  use: CheckedFarm['plan']['uses'][number],
): void {
  const stock = farm.situation.stock.find((container) => container.code === use.from);
  const start = farm.plan.starts.find((each) => each.id === use.from);
  farm.expect((stock ?? start)?.strainId === coverage.strainId, () => `${run}: ${use.from} is of another strain`);
  farm.expect(use.day === coverage.day, () => `${run}: used on ${use.day}, planned on ${coverage.day}`);
}
