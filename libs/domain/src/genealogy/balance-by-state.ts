import { type AccountedJar, type JarBalance, type JarFate, jarBalance } from './jar-balance.js';

/** A jar as the log's tables have it. */
export interface StandingOrGone extends Omit<AccountedJar, 'fate'> {
  /** incubating, ripe, chilled or opened while it stands; emptied, discarded or broken once it is gone. */
  readonly state: string;
}

export interface BalanceByState extends Omit<JarBalance, 'byFate'> {
  readonly byState: readonly { readonly state: string; readonly jars: number }[];
}

/** What became of jars, by the state they stand in or ended in; see {@link jarBalance}. */
export function balanceByState(jars: readonly StandingOrGone[]): BalanceByState {
  const { byFate: _byFate, ...sums } = jarBalance(
    jars.map(({ code, state, madeG, drawnG, leftG, discardedG }) => ({
      code,
      fate: fateOf(state),
      madeG,
      drawnG,
      leftG,
      discardedG,
    })),
  );
  const byState = new Map<string, number>();
  for (const { state } of jars) byState.set(state, (byState.get(state) ?? 0) + 1);
  return { ...sums, byState: [...byState].map(([state, count]) => ({ state, jars: count })) };
}

function fateOf(state: string): JarFate {
  if (state === 'emptied') return 'used';
  if (state === 'discarded' || state === 'broken') return 'discarded';
  return state as JarFate;
}
