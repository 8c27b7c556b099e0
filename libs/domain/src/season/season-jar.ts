/** One container as it truly is, which the farm sees only in part. Days count from the first day of the season. */
export interface SeasonJar {
  readonly code: string;
  readonly strain: number;
  readonly generation: number;
  readonly size: number;
  readonly madeDay: number;
  /** Day it is ripe, if it comes to that; later by the days it stood in the cold once it is warmed. */
  ripeDay: number;
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

/** A container just inoculated, that nothing has happened to. */
export function freshJar(code: string, strain: number, generation: number, size: number, madeDay: number): SeasonJar {
  return {
    code,
    strain,
    generation,
    size,
    madeDay,
    ripeDay: madeDay,
    failDay: null,
    hidden: false,
    warmLife: 0,
    coldLife: 0,
    keptAsMother: false,
    state: 'incubating',
    gramsLeft: 0,
    seenCleanDay: null,
    seenRipeDay: null,
    chilledDay: null,
    openedDay: null,
    openUntil: -1,
  };
}
