import type { SpawnPlan } from '@jarfold/domain/planning';

const UUID = /[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}/gi;

/** The planner knows things by id and says so in its sentences; a person knows them by name. */
export function inWords(sentence: string, names: ReadonlyMap<string, string>): string {
  return sentence.replace(UUID, (id) => names.get(id.toLowerCase()) ?? id);
}

/** A plan whose sentences name things the way the farm does. Everything else in it keeps its ids. */
export function planInWords(plan: SpawnPlan, names: ReadonlyMap<string, string>): SpawnPlan {
  return {
    ...plan,
    runs: plan.runs.map((run) => ({
      ...run,
      limit:
        run.limit === null
          ? null
          : {
              ...run.limit,
              where: run.limit.where === null ? null : inWords(run.limit.where, names),
              message: inWords(run.limit.message, names),
            },
    })),
    impossible: plan.impossible.map(({ code, subject, message }) => ({
      code,
      subject: inWords(subject, names),
      message: inWords(message, names),
    })),
  };
}
