import type { OwnDevice } from '@jarfold/contracts';
import type { BenchWarning, CalendarDay, Impossible } from '@jarfold/domain';
import { createContext, useContext } from 'react';
import type { IdbStore } from '../../offline/idb-store.js';
import type { BenchAction, BenchCore, BenchStatus, FarmFacts, OwnEntry } from '../../offline/index.js';
import type { Person, TabletRecord } from '../../offline/tablet-record.js';

/** What an action came to. */
export type Outcome =
  | { readonly kind: 'saved'; readonly entry: OwnEntry; readonly warnings: readonly BenchWarning[] }
  | { readonly kind: 'impossible'; readonly obstacles: readonly Impossible[] }
  | { readonly kind: 'taken-back'; readonly entry: OwnEntry; readonly correction: OwnEntry }
  | { readonly kind: 'in-the-way'; readonly entry: OwnEntry }
  | { readonly kind: 'not-stored' };

/** What the last action came to; stays on screen until the next one. No two taps are named alike. */
export type LastOutcome = Outcome & { readonly tap: string };

export interface Bench {
  readonly core: BenchCore;
  readonly store: IdbStore;
  readonly record: TabletRecord;
  readonly status: BenchStatus;
  readonly farm: FarmFacts;
  readonly person: Person;
  readonly device: OwnDevice | null;
  readonly today: CalendarDay;
  readonly last: LastOutcome | null;
  /** Saves an action, of the person at work unless another is named; the entry once it is stored on the tablet. */
  readonly act: (action: BenchAction, staffId?: string) => Promise<OwnEntry | null>;
  readonly undo: (entryId: string) => Promise<void>;
  /** Locks the tablet for the next person. */
  readonly changePerson: () => void;
}

const Context = createContext<Bench | null>(null);
export const BenchProvider = Context.Provider;

export function useBench(): Bench {
  const bench = useContext(Context);
  if (!bench) throw new Error('A bench screen stands outside the bench.');
  return bench;
}
