/** How a plan's starts are looked for by chance. */
export interface AssuranceSearch {
  /** Probability with which every run shall be covered, 0 to below 1. */
  readonly assurance: number;
  readonly draws: number;
  readonly seed: number;
  /** Sets of starts to try out, over all strains. Counted, so that the same plan comes on every machine. */
  readonly trials: number;
  /** Starts that must stay as they are, by id: prepared or pinned. */
  readonly held: ReadonlySet<string>;
}
