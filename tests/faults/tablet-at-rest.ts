import type { OwnEntry } from '../../apps/web/src/offline/index.js';
import type { AnyThing } from '../../apps/web/src/offline/thing-shelf.js';

/** An entry a person was told is saved. */
export interface Attempted {
  readonly id: string;
  readonly sequence: number;
  /** Jars it makes. */
  readonly makes: readonly string[];
}

/** A tablet as the invariants look at it, whether its core runs in this process or in a browser. */
export interface TabletAtRest {
  readonly options: { readonly name: string; readonly deviceId: string };
  /** What was said to be saved, in order. */
  readonly attempted: readonly Attempted[];
  /** Ids the server said it has, in answers that reached the tablet. */
  readonly acked: ReadonlySet<string>;
  readonly faults: readonly unknown[];
  readonly breaches: ReadonlySet<string>;
  readonly core: {
    own(): readonly Pick<OwnEntry, 'id' | 'state'>[];
    status(): { readonly unsent: number; readonly cursor: number | null };
    readonly view: { all(kind: 'jar' | 'lot'): Iterable<Extract<AnyThing, { kind: 'jar' | 'lot' }>['state']> };
  };
}

/** What came of a run, as every level tells it. */
export interface Counts {
  readonly attempted: number;
  readonly acked: number;
  readonly refused: number;
  readonly lost: number;
  readonly doubled: number;
  readonly breaches: readonly string[];
}

export function countsOf(tablets: readonly TabletAtRest[], breaches: readonly string[]): Counts {
  return {
    attempted: sum(tablets, ({ attempted }) => attempted.length),
    acked: sum(tablets, ({ acked }) => acked.size),
    refused: sum(tablets, ({ core }) => core.own().filter(({ state }) => state === 'refused').length),
    lost: breaches.filter((breach) => /^I[13] /.test(breach)).length,
    doubled: breaches.filter((breach) => breach.startsWith('I2 ')).length,
    breaches,
  };
}

export const sum = <T>(things: readonly T[], of: (thing: T) => number): number =>
  things.reduce((total, thing) => total + of(thing), 0);
