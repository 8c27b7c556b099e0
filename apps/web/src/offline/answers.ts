import type { BenchAnswer } from '@jarfold/contracts';
import type { OwnEntry } from './own-entry.js';

/** What the server's answers make of the entries that were sent. */
export interface Settled {
  readonly changed: readonly OwnEntry[];
  /** The server lacks entries from this number on. */
  readonly sendFrom: number | null;
}

/** Reads the answers entry by entry; an entry without an answer stays as it is and is sent again. */
export function settle(sent: readonly OwnEntry[], answers: readonly BenchAnswer[]): Settled {
  const byId = new Map(answers.map((answer) => [answer.id, answer]));
  const changed: OwnEntry[] = [];
  let sendFrom: number | null = null;
  for (const own of sent) {
    const answer = byId.get(own.id);
    if (!answer) continue;
    if (answer.outcome === 'gap') sendFrom = Math.min(sendFrom ?? answer.sendFrom, answer.sendFrom);
    else changed.push(answered(own, answer));
  }
  return { changed, sendFrom };
}

function answered(own: OwnEntry, answer: Exclude<BenchAnswer, { outcome: 'gap' }>): OwnEntry {
  const { position } = answer;
  if (answer.outcome === 'applied') return { ...own, state: 'applied', position, refusal: null };
  return { ...own, state: 'refused', position, refusal: { reason: answer.reason, message: answer.message } };
}

/**
 * The entries to send again when the server lacks those from a number on, as after it was restored from an older copy;
 * null when this tablet has not kept them all.
 */
export function toSendAgain(own: readonly OwnEntry[], sendFrom: number): readonly OwnEntry[] | null {
  const firstUnsent = Math.min(...own.filter(({ state }) => state === 'unsent').map(({ sequence }) => sequence));
  const again = own.filter(
    ({ state, sequence }) => state !== 'unsendable' && state !== 'unsent' && sequence >= sendFrom,
  );
  const numbers = new Set(again.map(({ sequence }) => sequence));
  for (let number = sendFrom; number < firstUnsent; number += 1) if (!numbers.has(number)) return null;
  return again.map((entry) => ({ ...entry, state: 'unsent', position: null, refusal: null, settled: false }));
}
