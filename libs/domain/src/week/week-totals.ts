/** What a week adds up to. */
export interface WeekTotals {
  /** Containers to inoculate. */
  readonly starts: number;
  readonly cycles: number;
  readonly dryGrainG: number;
  readonly cookingWaterMl: number;
}

export function weekTotals(week: {
  readonly benchDays: readonly { readonly containers: number }[];
  readonly preparations: readonly {
    readonly cycles: number;
    readonly grain: { readonly dryGrainG: number; readonly cookingWaterMl: number };
  }[];
}): WeekTotals {
  const total = <T>(items: readonly T[], value: (item: T) => number) =>
    items.reduce((sum, item) => sum + value(item), 0);
  return {
    starts: total(week.benchDays, ({ containers }) => containers),
    cycles: total(week.preparations, ({ cycles }) => cycles),
    dryGrainG: total(week.preparations, ({ grain }) => grain.dryGrainG),
    cookingWaterMl: total(week.preparations, ({ grain }) => grain.cookingWaterMl),
  };
}
