import { type CalendarDay, isoWeek } from '../calendar/calendar-day.js';
import { nextLotCode, strainCode } from '../codes/index.js';
import type { CodedThing } from './world.js';

/**
 * The codes in use while entries are being decided, so that two new lots of one batch of entries never share a code.
 * It knows the codes it was given; the caller must give all codes of the weeks and names that the entries can touch.
 */
export class CodeBook {
  /** Who carries each code. Two may for a while, when two tablets have given one code before they knew of each other. */
  readonly #carriers: Readonly<Record<CodedThing, Map<string, Set<string>>>> = {
    lot: new Map(),
    jar: new Map(),
    grainBatch: new Map(),
    cycle: new Map(),
  };

  isTaken(named: CodedThing, code: string): boolean {
    return this.#carriers[named].has(code);
  }

  take(named: CodedThing, code: string, carrierId: string): void {
    const carriers = this.#carriers[named].get(code);
    if (carriers) carriers.add(carrierId);
    else this.#carriers[named].set(code, new Set([carrierId]));
  }

  /** The code is free again once nobody else carries it. */
  release(named: CodedThing, code: string, carrierId: string): void {
    const carriers = this.#carriers[named].get(code);
    carriers?.delete(carrierId);
    if (carriers?.size === 0) this.#carriers[named].delete(code);
  }

  /**
   * The next free code, such as `OY3-26W48-2`.
   * @throws DomainError `lot-code-out-of-range` when the week's 999 serials are used up.
   */
  next(named: Exclude<CodedThing, 'jar'>, prefix: string, day: CalendarDay): string {
    return nextLotCode(strainCode(prefix), isoWeek(day), this.#carriers[named].keys());
  }
}
