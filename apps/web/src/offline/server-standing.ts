import { backoffMs } from './backoff.js';
import type { NetAnswer } from './ports.js';

/** After the server has said no to this tablet as such; a person has to act, but the farm may also mend itself. */
const STOPPED_MS = 300_000;

/** Why the server takes nothing from this tablet. */
export interface Stopped {
  readonly code: string;
  readonly detail: string;
}

/**
 * How this tablet stands with the server: whether it was reached, whether it wants somebody to sign in or takes nothing
 * at all, and so how long to wait before the next try.
 */
export class ServerStanding {
  readonly #fraction: () => number;
  #reached = false;
  #lost = false;
  #needsSignIn = false;
  #stopped: Stopped | null = null;
  #failures = 0;

  /** @param fraction a random number from 0 to below 1 */
  constructor(fraction: () => number) {
    this.#fraction = fraction;
  }

  get reached(): boolean {
    return this.#reached;
  }

  /** A try has not reached it, and none has since: not the same as not having tried yet. */
  get lost(): boolean {
    return this.#lost;
  }

  get needsSignIn(): boolean {
    return this.#needsSignIn;
  }

  get stopped(): Stopped | null {
    return this.#stopped;
  }

  /** Whether there is any use in trying without somebody doing something first. */
  mayTry(): boolean {
    return !this.#needsSignIn && this.#stopped === null;
  }

  /** It answered, so whatever kept it from that is over. */
  answered(): void {
    this.#reached = true;
    this.#lost = false;
    this.#needsSignIn = false;
    this.#stopped = null;
  }

  /** What the server refused this tablet for may be mended: the next answer says. */
  mended(): void {
    this.#stopped = null;
  }

  signedIn(): void {
    this.#needsSignIn = false;
    this.#stopped = null;
  }

  /** Failures before this count no longer towards the wait. */
  forgetFailures(): void {
    this.#failures = 0;
  }

  // Each of these answers how long to wait before the next try, milliseconds.

  stop(stopped: Stopped): number {
    this.#stopped = stopped;
    return STOPPED_MS;
  }

  failed(): number {
    this.#failures += 1;
    this.#reached = false;
    this.#lost = true;
    return backoffMs(this.#failures, this.#fraction());
  }

  afterNo(answer: Exclude<NetAnswer<unknown>, { kind: 'ok' }>): number {
    if (answer.kind === 'sign-in') {
      this.answered();
      this.#needsSignIn = true;
      return STOPPED_MS;
    }
    if (answer.kind === 'problem') {
      this.answered();
      return this.stop({ code: answer.code, detail: answer.detail });
    }
    if (answer.kind === 'busy') return Math.max(answer.afterMs, this.failed());
    return this.failed();
  }
}
