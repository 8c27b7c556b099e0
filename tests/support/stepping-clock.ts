/** A clock that goes on by a second each time it is asked, so that nothing happens at the same moment. */
export class SteppingClock {
  nowMs: number;

  constructor(from: string) {
    this.nowMs = Date.parse(from);
  }

  now(): Date {
    this.nowMs += 1000;
    return new Date(this.nowMs);
  }
}
