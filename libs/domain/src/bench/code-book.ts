import { type CalendarDay, isoWeek } from '../calendar/calendar-day.js';
import { nextLotCode, strainCode } from '../codes/index.js';
import type { CodedThing } from './world.js';

/**
 * The codes in use while entries are being decided, so that two new lots of one batch of entries never share a code.
 * It knows the codes it was given; the caller must give all codes of the weeks and names that the entries can touch.
 */
export class CodeBook {
  readonly #taken: Readonly<Record<CodedThing, Set<string>>>;

  constructor(taken: Readonly<Partial<Record<CodedThing, Iterable<string>>>> = {}) {
    this.#taken = {
      lot: new Set(taken.lot),
      jar: new Set(taken.jar),
      grainBatch: new Set(taken.grainBatch),
      cycle: new Set(taken.cycle),
    };
  }

  isTaken(named: CodedThing, code: string): boolean {
    return this.#taken[named].has(code);
  }

  take(named: CodedThing, code: string): void {
    this.#taken[named].add(code);
  }

  release(named: CodedThing, code: string): void {
    this.#taken[named].delete(code);
  }

  /**
   * The next free code, such as `OY3-26W48-2`.
   * @throws DomainError `lot-code-out-of-range` when the week's 999 serials are used up.
   */
  next(named: Exclude<CodedThing, 'jar'>, prefix: string, day: CalendarDay): string {
    return nextLotCode(strainCode(prefix), isoWeek(day), this.#taken[named]);
  }
}
