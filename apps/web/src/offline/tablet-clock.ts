import { CLOCK_TOLERANCE_MS, OLDEST_UNSENT_MS } from '@jarfold/domain';
import type { CorePorts } from './ports.js';

/** The tablet's clock, and how far the server's is from it, as far as that was measured. */
export class TabletClock {
  readonly #clock: CorePorts['clock'];
  /** What has to be added to this clock to have the server's, milliseconds. */
  offsetMs = 0;

  constructor(clock: CorePorts['clock']) {
    this.#clock = clock;
  }

  /** A dead battery may say anything; nothing is sent that claims to be from before 1970. */
  tabletMs(): number {
    const ms = this.#clock.nowMs();
    return Number.isFinite(ms) ? Math.max(0, ms) : 0;
  }

  /** The same as it is sent, ISO 8601. */
  tabletInstant(): string {
    return new Date(this.tabletMs()).toISOString();
  }

  /** The moment now by the server's clock. */
  serverMs(): number {
    return this.tabletMs() + this.offsetMs;
  }

  isWrong(): boolean {
    return Math.abs(this.offsetMs) > CLOCK_TOLERANCE_MS;
  }

  /**
   * What a moment of the tablet's clock means here; a clock that is absurd against the picture's gives way to it.
   * @param pictureTakenAt when the server took the farm's picture; undefined before the first
   */
  momentOf(happenedAt: string, pictureTakenAt: string | undefined): number {
    const ms = Date.parse(happenedAt) + this.offsetMs;
    const pictureMs = Date.parse(pictureTakenAt ?? '');
    return Math.abs(ms - pictureMs) > OLDEST_UNSENT_MS ? pictureMs : ms;
  }

  /** A picture's moment measures the clock roughly, before anything was sent; what sending measured stands when they agree. */
  offsetByPicture(takenAt: string): number {
    const roughMs = Date.parse(takenAt) - this.tabletMs();
    return Math.abs(roughMs - this.offsetMs) > CLOCK_TOLERANCE_MS ? roughMs : this.offsetMs;
  }
}
