/** Less than this is rounding, not spawn. */
export const LITTLE_GRAMS = 1e-6;
/** Group of containers that were open on the planning day: it belongs to no lot. */
export const NO_LOT = -1;

/** What is opened together: containers of one lot, on one day, on one path. */
export interface OpenedLot {
  readonly lot: number;
  readonly day: number;
  /** Last day its grams may be used. */
  readonly until: number;
  /** Day the plan put it into the cold, -1 when it did not. */
  readonly chillDay: number;
  readonly generation: number;
  readonly motherOnly: boolean;
}

/**
 * Containers opened while one strain is handed out, and what is left in them, in plain arrays by group because a search
 * asks for them thousands of times. The first groups are those that stand open on the planning day.
 */
export class OpenedGroups {
  size = 0;
  readonly lot: number[] = [];
  readonly day: number[] = [];
  readonly until: number[] = [];
  readonly chillDay: number[] = [];
  readonly count: number[] = [];
  readonly rest: number[] = [];
  readonly lastUse: number[] = [];
  readonly generation: number[] = [];
  readonly motherOnly: boolean[] = [];
  /** Groups that may have grams left in them. */
  readonly rests: number[] = [];
  restCount = 0;
  private readonly isListed: boolean[] = [];

  clear(): void {
    this.size = 0;
    this.restCount = 0;
  }

  /** The group of the same lot, day and path with so many containers more; a new one when there is none. */
  open(what: OpenedLot, count: number, gramsEach: number): number {
    const grams = count * gramsEach;
    for (let group = 0; group < this.size; group += 1) {
      const isSame =
        this.lot[group] === what.lot && this.day[group] === what.day && this.chillDay[group] === what.chillDay;
      if (!isSame) continue;
      this.count[group]! += count;
      if (this.rest[group]! <= LITTLE_GRAMS) this.list(group);
      this.rest[group]! += grams;
      return group;
    }
    return this.add(what, count, grams);
  }

  add({ lot, day, until, chillDay, generation, motherOnly }: OpenedLot, count: number, grams: number): number {
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
    this.isListed[group] = false;
    this.size += 1;
    this.list(group);
    return group;
  }

  isOpenOn(group: number, day: number): boolean {
    return this.rest[group]! > LITTLE_GRAMS && this.day[group]! <= day && day <= this.until[group]!;
  }

  /** Takes grams out for a use on a day; tells how many there were. */
  take(group: number, day: number, wanted: number): number {
    const part = Math.min(this.rest[group]!, wanted);
    this.rest[group]! -= part;
    if (day > this.lastUse[group]!) this.lastUse[group] = day;
    return part;
  }

  /** Forgets the groups that are empty. */
  dropEmpty(): void {
    let kept = 0;
    for (let place = 0; place < this.restCount; place += 1) {
      const group = this.rests[place]!;
      if (this.rest[group]! <= LITTLE_GRAMS) {
        this.isListed[group] = false;
        continue;
      }
      this.rests[kept] = group;
      kept += 1;
    }
    this.restCount = kept;
  }

  private list(group: number): void {
    if (this.isListed[group]) return;
    this.isListed[group] = true;
    this.rests[this.restCount] = group;
    this.restCount += 1;
  }
}
