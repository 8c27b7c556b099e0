import { daysBetween } from '../calendar/calendar-day.js';
import type { AcceptedRun, AcceptedStrain, UnplannedRun } from './accepted-situation.js';
import type { Impossibility } from './plan.js';
import type { BulkRun, FarmSituation } from './situation.js';

export interface AcceptedRuns {
  readonly runs: readonly AcceptedRun[];
  readonly unplanned: readonly UnplannedRun[];
  readonly impossible: readonly Impossibility[];
}

/** Keeps the runs that lie within the horizon and name a known strain; says why each other one is left out. */
export function acceptRuns(situation: FarmSituation, strains: readonly AcceptedStrain[]): AcceptedRuns {
  const runs: AcceptedRun[] = [];
  const unplanned: UnplannedRun[] = [];
  const impossible: Impossibility[] = [];
  for (const run of situation.runs) {
    impossible.push(...remarks(run, strains));
    const reason = whyNotPlanned(situation, run, strains);
    if (reason === null) runs.push(acceptRun(situation, run, strains, runs.length));
    else {
      impossible.push({ code: reason.code, subject: run.id, message: reason.message });
      const { id, day, minGrams, targetGrams } = run;
      unplanned.push({ id, day, strainId: run.strainIds[0] ?? '', minGrams, targetGrams, reason: reason.message });
    }
  }
  return { runs, unplanned, impossible };
}

function remarks(run: BulkRun, strains: readonly AcceptedStrain[]): Impossibility[] {
  const unknown = run.strainIds.filter((id) => !strains.some((strain) => strain.id === id));
  const found: Impossibility[] = unknown.map((id) => ({
    code: 'unknown-strain',
    subject: run.id,
    message: `Run ${run.id} allows strain ${id}, which is not known.`,
  }));
  if (run.minGrams <= run.targetGrams && run.targetGrams <= run.maxGrams) return found;
  const message = `Run ${run.id} asks for a minimum of ${run.minGrams} g, a target of ${run.targetGrams} g and a maximum of ${run.maxGrams} g, which contradict each other; it is planned within the maximum.`;
  return [...found, { code: 'run-amounts-contradict', subject: run.id, message }];
}

function whyNotPlanned(
  situation: FarmSituation,
  run: BulkRun,
  strains: readonly AcceptedStrain[],
): { readonly code: string; readonly message: string } | null {
  const day = daysBetween(situation.asOf, run.day);
  if (!run.strainIds.some((id) => strains.some((strain) => strain.id === id))) {
    return { code: 'run-without-strain', message: `Run ${run.id} names no known strain, so it cannot be planned.` };
  }
  if (day + run.slackDays < 0) {
    return {
      code: 'run-in-past',
      message: `Run ${run.id} was due on ${run.day}, before the planning day ${situation.asOf}.`,
    };
  }
  if (day > situation.horizonDays) {
    return {
      code: 'run-beyond-horizon',
      message: `Run ${run.id} on ${run.day} lies beyond the planning horizon of ${situation.horizonDays} days.`,
    };
  }
  return null;
}

function acceptRun(
  situation: FarmSituation,
  run: BulkRun,
  strains: readonly AcceptedStrain[],
  index: number,
): AcceptedRun {
  const day = daysBetween(situation.asOf, run.day);
  const known = run.strainIds.map((id) => strains.findIndex((strain) => strain.id === id)).filter((at) => at >= 0);
  const targetGrams = Math.min(run.targetGrams, run.maxGrams);
  return {
    index,
    id: run.id,
    day: Math.max(day, 0),
    lastDay: Math.min(day + run.slackDays, situation.horizonDays),
    strains: [...new Set(known)],
    minGrams: Math.min(run.minGrams, targetGrams),
    targetGrams,
    maxGrams: run.maxGrams,
    weight: 1 / Math.max(1, run.priority),
  };
}
