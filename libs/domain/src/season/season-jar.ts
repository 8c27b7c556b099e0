/** One container as it truly is, which the farm sees only in part. Days count from the first day of the season. */
export interface SeasonJar {
  readonly code: string;
  readonly strain: number;
  readonly generation: number;
  readonly size: number;
  readonly madeDay: number;
  /** Day it is ripe, if it comes to that. */
  readonly ripeDay: number;
  /** Day it can be seen to be contaminated; null: it stays clean. */
  readonly failDay: number | null;
  /** No check finds its contamination. */
  readonly hidden: boolean;
  /** Days it keeps warm once it is ripe, and in the cold once it is chilled. */
  readonly warmLife: number;
  readonly coldLife: number;
  readonly keptAsMother: boolean;
  state: 'incubating' | 'ripe' | 'chilled' | 'opened';
  gramsLeft: number;
  seenCleanDay: number | null;
  seenRipeDay: number | null;
  chilledDay: number | null;
  openedDay: number | null;
  openUntil: number;
}

/** The last day on which an unopened container can truly be used. */
export function goodUntil(jar: SeasonJar): number {
  if (jar.state === 'opened') return jar.openUntil;
  return jar.chilledDay === null ? Math.floor(jar.ripeDay + jar.warmLife) : Math.floor(jar.chilledDay + jar.coldLife);
}
