import type { BindingLimit, KeptPlan } from '@jarfold/domain/planning';

const UUID = /[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}/gi;

/** The planner knows things by id and says so in its sentences; a person knows them by name. */
export function inWords(sentence: string, names: ReadonlyMap<string, string>): string {
  return sentence.replace(UUID, (id) => names.get(id.toLowerCase()) ?? id);
}

/** A plan whose sentences name things the way the farm does. Everything else in it keeps its ids. */
export function planInWords(plan: KeptPlan, names: ReadonlyMap<string, string>): KeptPlan {
  return {
    ...plan,
    runs: plan.runs.map((run) => ({ ...run, limit: run.limit && limitInWords(run.limit, names) })),
    ...(plan.assurance && {
      assurance: {
        ...plan.assurance,
        below: plan.assurance.below.map((run) => ({ ...run, limit: limitInWords(run.limit, names) })),
      },
    }),
    impossible: plan.impossible.map(({ code, subject, message }) => ({
      code,
      subject: inWords(subject, names),
      message: inWords(message, names),
    })),
  };
}

function limitInWords(limit: BindingLimit, names: ReadonlyMap<string, string>): BindingLimit {
  const where = limit.where === null ? null : inWords(limit.where, names);
  return { ...limit, where, message: inWords(limit.message, names) };
}
