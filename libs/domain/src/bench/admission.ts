export interface SentEntry {
  readonly id: string;
  /** The device's own count, 1, 2, 3 … without gaps. */
  readonly sequence: number;
  /** Tells one content from another. */
  readonly contentHash: string;
}

export type Admission =
  | 'new'
  /** It is here already with this content: the first answer is given again. */
  | 'repeated'
  /** Its id is here already with another content. */
  | 'other-content'
  /** Its number is spent on another entry: two devices, or one device restored from a copy, count as one. */
  | 'sequence-spent'
  /** Entries before it are missing. */
  | 'gap';

/**
 * Whether an entry is to be recorded. Sending anything again, in any order and any number of times, records each entry
 * once: an id is recorded once, and a device's numbers without gaps.
 */
export function admit(
  entry: SentEntry,
  lastSequence: number,
  recordedContent: (id: string) => string | undefined,
): Admission {
  if (entry.sequence > lastSequence + 1) return 'gap';
  const recorded = recordedContent(entry.id);
  if (recorded !== undefined) return recorded === entry.contentHash ? 'repeated' : 'other-content';
  return entry.sequence <= lastSequence ? 'sequence-spent' : 'new';
}
