import type { DrawnJar, Jar } from '@jarfold/contracts';
import { type MessageKey } from '../../messages/translate.js';
import type { GlassProps } from './Glass.js';

type State = Jar['state'];

export const STATE_WORDS = {
  incubating: 'state.incubating',
  ripe: 'state.ripe',
  chilled: 'state.chilled',
  opened: 'state.opened',
  contaminated: 'state.contaminated',
  emptied: 'state.emptied',
  discarded: 'state.discarded',
  broken: 'state.broken',
} as const satisfies Record<State, MessageKey>;

export const FRESHNESS_WORDS = {
  growing: 'freshness.growing',
  good: 'freshness.good',
  soon: 'freshness.soon',
  past: 'freshness.past',
  none: 'freshness.none',
} as const satisfies Record<Jar['freshness'], MessageKey>;

/** A typical jar of a state, for legends and counts. */
export function lookOfState(state: State): GlassProps {
  switch (state) {
    case 'incubating':
      return { colonised: 0.45 };
    case 'ripe':
      return { colonised: 1, mark: 'ripe' };
    case 'chilled':
      return { colonised: 1, mark: 'chilled' };
    case 'opened':
      return { colonised: 1, filled: 0.6, opened: true };
    case 'contaminated':
      return { colonised: 0.5, mark: 'contaminated' };
    default:
      return { colonised: 0, filled: 0 };
  }
}

/** One particular jar as it stands. What is wrong with it outweighs what it is for. */
export function lookOfJar(jar: DrawnJar): GlassProps {
  const past = jar.freshness === 'past' || jar.freshness === 'soon';
  const look = lookOfState(jar.state);
  const colonised = jar.state === 'incubating' || jar.state === 'contaminated' ? jar.drawnShare : 1;
  if (jar.state === 'contaminated') return { ...look, colonised };
  if (past) return { ...look, colonised, mark: 'stranded' };
  return { ...look, colonised, ...(jar.keptAsMother ? { mark: 'mother' as const } : {}) };
}
