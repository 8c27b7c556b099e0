import { benchPayloadSchemas, idSchema, instantSchema, isBenchKind } from '@jarfold/contracts';
import { z } from 'zod';
import type { OwnEntry } from './own-entry.js';

/** Unsent work as a file, to be carried to another tablet of the same farm. */
const FORMAT = 'jarfold-unsent-work';
const VERSION = 1;
const MOST_ENTRIES = 50_000;

const fileSchema = z.strictObject({
  format: z.literal(FORMAT),
  version: z.literal(VERSION),
  growerId: idSchema,
  deviceId: idSchema,
  savedAt: instantSchema,
  entries: z
    .array(
      z.strictObject({
        id: idSchema,
        happenedAt: instantSchema,
        staffId: idSchema,
        kind: z.string(),
        payload: z.record(z.string(), z.unknown()),
      }),
    )
    .max(MOST_ENTRIES),
});

export type UnsentFile = z.infer<typeof fileSchema>;
export type CarriedEntry = UnsentFile['entries'][number];

export type UnsentFileFault =
  | { readonly code: 'not-json' }
  | { readonly code: 'not-this-format'; readonly where: string; readonly detail: string }
  | { readonly code: 'other-farm' }
  | { readonly code: 'entry-malformed'; readonly number: number; readonly where: string; readonly detail: string };

export function writeUnsentFile(
  own: readonly OwnEntry[],
  facts: { readonly growerId: string; readonly deviceId: string; readonly savedAt: string },
): string {
  const entries = own
    .filter(({ state }) => state === 'unsent')
    .map(({ id, happenedAt, staffId, kind, payload }) => ({ id, happenedAt, staffId, kind, payload }));
  return JSON.stringify({ format: FORMAT, version: VERSION, ...facts, entries } satisfies UnsentFile, null, 1);
}

/** Reads a file whole or not at all. */
export function readUnsentFile(text: string, growerId: string): UnsentFile | { readonly fault: UnsentFileFault } {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return { fault: { code: 'not-json' } };
  }
  const parsed = fileSchema.safeParse(json);
  if (!parsed.success) return { fault: { code: 'not-this-format', ...firstIssue(parsed.error) } };
  if (parsed.data.growerId !== growerId) return { fault: { code: 'other-farm' } };
  const wrong = firstMalformed(parsed.data.entries);
  return wrong ? { fault: wrong } : parsed.data;
}

function firstMalformed(entries: readonly CarriedEntry[]): UnsentFileFault | null {
  for (const [index, { kind, payload }] of entries.entries()) {
    const number = index + 1;
    if (!isBenchKind(kind)) return { code: 'entry-malformed', number, where: '/kind', detail: kind };
    const parsed = benchPayloadSchemas[kind].safeParse(payload);
    if (!parsed.success) return { code: 'entry-malformed', number, ...firstIssue(parsed.error) };
  }
  return null;
}

function firstIssue(error: z.ZodError): { where: string; detail: string } {
  const issue = error.issues[0];
  return { where: `/${(issue?.path ?? []).join('/')}`, detail: issue?.message ?? '' };
}
