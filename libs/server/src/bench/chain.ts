import { createHash } from 'node:crypto';
import { canonicalJson } from '@jarfold/domain';

/** Hash before the first entry of a log. */
export const EMPTY_HEAD = '';

/** Everything of an entry that a later reader may rely on, and so everything the chain protects. */
export interface ChainedEntry {
  readonly position: number;
  readonly id: string;
  readonly deviceId: string;
  readonly deviceSeq: number;
  readonly staffId: string;
  readonly kind: string;
  readonly payload: unknown;
  readonly happenedAt: string;
  readonly clockOffsetMs: number;
  readonly effectiveAt: string;
  readonly effectiveDay: string;
  readonly recordedAt: string;
  readonly outcome: string;
  readonly refusalCode: string | null;
  readonly details: unknown;
  readonly warnings: unknown;
  readonly facts: unknown;
  readonly contentHash: string;
}

/**
 * Hash of an entry: SHA-256 over its canonical JSON (RFC 8785) together with the hash of the entry before it. Changing,
 * removing or reordering any earlier entry changes every hash after it.
 */
export function chainHash(entry: ChainedEntry, previousHash: string): string {
  return sha256Hex(canonicalJson({ ...entry, previousHash }));
}

export function sha256Hex(text: string): string {
  return createHash('sha256').update(text, 'utf8').digest('hex');
}

export type ChainFaultKind = 'missing' | 'content-changed' | 'link-broken' | 'head-differs';

export interface ChainFault {
  readonly position: number;
  readonly kind: ChainFaultKind;
}

export interface LinkedEntry extends ChainedEntry {
  readonly previousHash: string;
  readonly hash: string;
}

/** Walks a log from its first entry and finds the first thing wrong with it. Feed entries in order of position. */
export class ChainWalk {
  readonly #from: number;
  #position: number;
  #head: string;
  #fault: ChainFault | null = null;

  /** Begins after an entry that was found intact, with its hash; from the first entry, unless told. */
  constructor(from: { readonly position: number; readonly head: string } = { position: 0, head: EMPTY_HEAD }) {
    this.#from = from.position;
    this.#position = from.position;
    this.#head = from.head;
  }

  /** Entries looked at by this walk. */
  get checked(): number {
    return this.#position - this.#from;
  }

  get position(): number {
    return this.#position;
  }

  get fault(): ChainFault | null {
    return this.#fault;
  }

  get head(): string {
    return this.#head;
  }

  see(entry: LinkedEntry): void {
    if (this.#fault) return;
    const { previousHash, hash, ...content } = entry;
    const expected = this.#position + 1;
    if (content.position !== expected) this.#fault = { position: expected, kind: 'missing' };
    else if (previousHash !== this.#head) this.#fault = { position: expected, kind: 'link-broken' };
    else if (chainHash(content, previousHash) !== hash) this.#fault = { position: expected, kind: 'content-changed' };
    else {
      this.#position = expected;
      this.#head = hash;
    }
  }

  /** The verdict, against what the counter says the head is. */
  finish(counter: { readonly position: number; readonly headHash: string }): ChainFault | null {
    if (this.#fault) return this.#fault;
    if (counter.position > this.#position) return { position: this.#position + 1, kind: 'missing' };
    if (counter.position !== this.#position || counter.headHash !== this.#head) {
      return { position: this.#position, kind: 'head-differs' };
    }
    return null;
  }
}
