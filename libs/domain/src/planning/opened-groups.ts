/** Less than this is rounding, not spawn. */
export const LITTLE_GRAMS = 1e-6;
/** Group of containers that were open on the planning day: it belongs to no lot. */
export const NO_LOT = -1;

const NO_GROUP = -1;

/**
 * Containers opened while one strain is handed out, and what is left in them, in plain arrays by group because a search
 * asks for them thousands of times. A group is what is opened together: containers of one lot, on one day, on one path.
 * The first groups are those that stand open on the planning day.
 */
export class OpenedGroups {
  size = 0;
  readonly lot: number[] = [];
  readonly day: number[] = [];
  /** Last day its grams may be used. */
  readonly until: number[] = [];
  /** Day the plan put it into the cold, -1 when it did not. */
  readonly chillDay: number[] = [];
  readonly count: number[] = [];
  readonly rest: number[] = [];
  readonly lastUse: number[] = [];
  readonly generation: number[] = [];
  readonly motherOnly: number[] = [];
  /** The next group that is opened on the same day, -1 after the last. */
  readonly next: number[] = [];
  /** The first and the last group opened on each day of use, given as a place; -1 where none is. */
  readonly firstOn: Int32Array;
  private readonly lastOn: Int32Array;
  private readonly at: number[] = [];
  /** The last group of each lot, and the one before it of the same lot. */
  private readonly lastOf: Int32Array;
  private readonly before: number[] = [];

  constructor(lots: number, days: number) {
    this.lastOf = new Int32Array(lots).fill(NO_GROUP);
    this.firstOn = new Int32Array(days).fill(NO_GROUP);
    this.lastOn = new Int32Array(days).fill(NO_GROUP);
  }

  clear(): void {
    for (let group = 0; group < this.size; group += 1) {
      const lot = this.lot[group]!;
      if (lot === NO_LOT) continue;
      this.lastOf[lot] = NO_GROUP;
      this.firstOn[this.at[group]!] = NO_GROUP;
    }
    this.size = 0;
  }

  /** The group of the lot that was opened on the same day and path, or one below 0. */
  find(lot: number, day: number, chillDay: number): number {
    let group = this.lastOf[lot]!;
    while (group >= 0 && (this.day[group] !== day || this.chillDay[group] !== chillDay)) group = this.before[group]!;
    return group;
  }

  /** Opens so many containers more in a group there is. */
  more(group: number, count: number, grams: number): void {
    this.count[group]! += count;
    this.rest[group]! += grams;
  }

  /** Containers that stand open on the planning day. */
  stand(until: number, generation: number, motherOnly: number, grams: number): void {
    this.append(NO_LOT, 0, until, -1, generation, motherOnly, 0, grams);
  }

  /**
   * Opens containers in a group of their own.
   * @param at the day, as a place among the days of use
   */
  add(
    lot: number,
    day: number,
    at: number,
    until: number,
    chillDay: number,
    generation: number,
    motherOnly: number,
    count: number,
    grams: number,
  ): number {
    const group = this.append(lot, day, until, chillDay, generation, motherOnly, count, grams);
    this.at[group] = at;
    this.before[group] = this.lastOf[lot]!;
    this.lastOf[lot] = group;
    if (this.firstOn[at]! < 0) this.firstOn[at] = group;
    else this.next[this.lastOn[at]!] = group;
    this.lastOn[at] = group;
    return group;
  }

  private append(
    lot: number,
    day: number,
    until: number,
    chillDay: number,
    generation: number,
    motherOnly: number,
    count: number,
    grams: number,
  ): number {
    const group = this.size;
    this.lot[group] = lot;
    this.day[group] = day;
    this.until[group] = until;
    this.chillDay[group] = chillDay;
    this.count[group] = count;
    this.rest[group] = grams;
    this.lastUse[group] = day;
    this.generation[group] = generation;
    this.motherOnly[group] = motherOnly;
    this.next[group] = NO_GROUP;
    this.at[group] = NO_GROUP;
    this.before[group] = NO_GROUP;
    this.size += 1;
    return group;
  }

  /** Takes grams out for a use on a day; tells how many there were. */
  take(group: number, day: number, wanted: number): number {
    const rest = this.rest[group]!;
    const part = Math.min(rest, wanted);
    this.rest[group] = rest - part;
    if (day > this.lastUse[group]!) this.lastUse[group] = day;
    return part;
  }
}
