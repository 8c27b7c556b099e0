import { BENCH_PROTOCOL, OLDEST_BENCH_PROTOCOL } from '@jarfold/contracts';

/** What a server speaks: its own protocol and older ones down to this. */
export interface Spoken {
  readonly oldest: number;
  readonly newest: number;
}

export const SPOKEN: Spoken = { oldest: OLDEST_BENCH_PROTOCOL, newest: BENCH_PROTOCOL };

/**
 * Why a tablet's protocol cannot be served, in words that say which of the two is older; null when it can. Entries are
 * kept on the tablet meanwhile.
 */
export function judgeProtocol(asked: string, { oldest, newest }: Spoken = SPOKEN): string | null {
  if (!/^[1-9]\d{0,5}$/.test(asked))
    return `The bench protocol is a number such as ${newest}, not "${asked.slice(0, 20)}".`;
  const spoken = Number(asked);
  const here = oldest === newest ? `${newest}` : `${oldest} to ${newest}`;
  if (spoken > newest) {
    return `The app on this tablet is newer (protocol ${spoken}) than the server (${here}): bring the server up to date.`;
  }
  if (spoken < oldest) {
    return `The app on this tablet is too old (protocol ${spoken}) for the server (${here}): load the app again.`;
  }
  return null;
}
