import { benchPayloadSchemas, isBenchKind, plainMistake } from '@jarfold/contracts';
import { canonicalJson, type EntryKind, isWellFormed } from '@jarfold/domain';
import { sha256Hex } from './chain.js';

/** What the sender says happened, in whatever words: the part that must not differ when it is sent again. */
export interface SentContent {
  readonly kind: string;
  readonly happenedAt: string;
  readonly staffId: string | null;
  readonly payload: Readonly<Record<string, unknown>>;
}

export type ReadContent =
  | { readonly readable: true; readonly kind: EntryKind; readonly payload: Readonly<Record<string, unknown>> }
  | {
      readonly readable: false;
      readonly payload: Readonly<Record<string, unknown>>;
      readonly problems: readonly { readonly pointer: string; readonly detail: string }[];
    };

const MOST_PROBLEMS = 20;

/** Tells one content from another, device and sequence apart: an entry may be carried to another tablet and sent there. */
export function contentHash({ kind, happenedAt, staffId, payload }: SentContent): string {
  const moment = new Date(happenedAt).toISOString(); // one moment, however it was spelled
  return sha256Hex(canonicalJson({ kind, happenedAt: moment, staffId, payload: storable(payload) }));
}

/** Reads the payload by its kind. What cannot be read is kept as it came and answered as refused. */
export function readContent({ kind, payload }: SentContent): ReadContent {
  const kept = storable(payload);
  if (kept !== payload) return unreadable(kept, '', 'The payload holds characters that cannot be stored.');
  if (!isBenchKind(kind)) return unreadable(kept, '/kind', `"${kind}" is no kind of bench entry this server knows.`);
  const parsed = benchPayloadSchemas[kind].safeParse(payload, { error: plainMistake });
  if (parsed.success) return { readable: true, kind, payload: parsed.data };
  const problems = parsed.error.issues.slice(0, MOST_PROBLEMS).map(({ path, message }) => ({
    pointer: path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join(''),
    detail: message,
  }));
  return { readable: false, payload: kept, problems };
}

function unreadable(payload: Readonly<Record<string, unknown>>, pointer: string, detail: string): ReadContent {
  return { readable: false, payload, problems: [{ pointer, detail }] };
}

/** The payload itself, or its JSON as text where a JSON column cannot hold it (NUL, half a surrogate pair). */
function storable(payload: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> {
  return isStorable(payload) ? payload : { unreadable: JSON.stringify(payload) };
}

function isStorable(value: unknown): boolean {
  if (typeof value === 'string') return isWellFormed(value) && !value.includes('\u0000');
  if (Array.isArray(value)) return value.every(isStorable);
  if (value === null || typeof value !== 'object') return true;
  return Object.entries(value).every(([key, member]) => isStorable(key) && isStorable(member));
}
