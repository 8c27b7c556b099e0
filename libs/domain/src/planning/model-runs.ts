import type { AcceptedRun } from './accepted-situation.js';
import type { ModelDraft } from './model-draft.js';
import { NONE, type RunChoice, type RunVariables } from './spawn-model.js';
import { runDays } from './timeline.js';

/**
 * Demand. Grams given + grams short of the minimum + grams below the target ≥ target; both shortages cost by slope. A
 * run that may use several strains or days takes place once, with one strain.
 */
export function addRuns(draft: ModelDraft): RunVariables[] {
  return draft.situation.runs.map((run) => addRun(draft, run));
}

function addRun({ builder, situation }: ModelDraft, run: AcceptedRun): RunVariables {
  const { costs } = situation;
  const short = builder.column({ cost: costs.perGramShort * run.weight, upper: run.minGrams });
  const belowTarget = builder.column({
    cost: costs.perGramBelowTarget * run.weight,
    upper: run.targetGrams - run.minGrams,
  });
  const coverRow = builder.row(run.targetGrams, Number.POSITIVE_INFINITY, [
    [short, 1],
    [belowTarget, 1],
  ]);
  const ways = run.strains.flatMap((strain) => runDays(run).map((day) => ({ strain, day })));
  const choices: RunChoice[] = ways.map((way) => ({
    ...way,
    chosen: ways.length > 1 ? builder.column({ upper: 1, whole: true }) : NONE,
  }));
  if (ways.length > 1) {
    builder.row(
      Number.NEGATIVE_INFINITY,
      1,
      choices.map((choice) => [choice.chosen, 1]),
    );
  }
  return { run, choices, short, belowTarget, coverRow };
}

/** For each choice of each run the row "grams given this way ≤ the run's maximum, if it is chosen". */
export function addChoiceRows({ builder }: ModelDraft, runs: readonly RunVariables[]): number[][] {
  return runs.map(({ run, choices }) =>
    choices.map(({ chosen }) =>
      chosen === NONE
        ? builder.row(Number.NEGATIVE_INFINITY, run.maxGrams)
        : builder.row(Number.NEGATIVE_INFINITY, 0, [[chosen, -run.maxGrams]]),
    ),
  );
}
