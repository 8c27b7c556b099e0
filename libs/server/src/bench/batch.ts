import {
  type Admission,
  admit,
  type BenchEntry,
  calendarDayAt,
  type EntryKind,
  effectiveMoment,
} from '@jarfold/domain';
import { AppError, type StaffRole } from '../platform/index.js';
import { contentHash, readContent } from './entry-content.js';
import type { PreparedEntry } from './recording.js';
import type { DeviceRow } from './rows.js';
import type { FarmLookups } from './settings.repository.js';

/** Entries of one device, as they arrive. */
export interface IncomingBatch {
  readonly device: { readonly id: string; readonly name: string };
  /** Server clock minus device clock. */
  readonly clockOffsetMs: number;
  /** True for entries whose moments are known to be right, such as a farm's own records: no clock is checked. */
  readonly trustMoments: boolean;
  readonly entries: readonly IncomingEntry[];
  /** The enrolled tablet that shows itself as the sender; null for any other browser or program. */
  readonly shownDeviceId?: string | null;
}

export interface IncomingEntry {
  readonly id: string;
  readonly sequence: number;
  readonly happenedAt: string;
  readonly staffId?: string | undefined;
  readonly kind: string;
  readonly payload: Readonly<Record<string, unknown>>;
}

export interface Admitted {
  readonly incoming: IncomingEntry;
  readonly contentHash: string;
  readonly admission: Extract<Admission, 'new' | 'repeated' | 'gap'>;
}

export interface AdmittedBatch {
  /** In the order they were sent. */
  readonly entries: readonly Admitted[];
  readonly lastSequence: number;
}

/**
 * Sorts out what is new, in the order of the device's sequence.
 * @param recorded content hashes of what is recorded already, by entry id; what is found new is added
 * @throws AppError `entry-differs`, `sequence-spent`
 */
export function admitBatch(batch: IncomingBatch, device: DeviceRow, recorded: Map<string, string>): AdmittedBatch {
  const admitted = new Map<IncomingEntry, Admitted>();
  let lastSequence = device.lastSeq;
  for (const incoming of [...batch.entries].sort((a, b) => a.sequence - b.sequence)) {
    const hash = contentHash({ ...incoming, staffId: incoming.staffId ?? null });
    const admission = admit({ ...incoming, contentHash: hash }, lastSequence, (id) => recorded.get(id));
    if (admission === 'other-content' || admission === 'sequence-spent') throw differs(admission, batch, incoming);
    if (admission !== 'gap') lastSequence = Math.max(lastSequence, incoming.sequence);
    if (admission === 'new') recorded.set(incoming.id, hash);
    admitted.set(incoming, { incoming, contentHash: hash, admission });
  }
  return { entries: batch.entries.flatMap((incoming) => admitted.get(incoming) ?? []), lastSequence };
}

function differs(
  admission: 'other-content' | 'sequence-spent',
  batch: IncomingBatch,
  { id, sequence, kind }: IncomingEntry,
): AppError {
  const index = batch.entries.findIndex((entry) => entry.id === id && entry.sequence === sequence);
  const entry = { entryId: id, sequence, kind };
  if (admission === 'other-content') {
    const detail = `The entry ${id} is recorded with another content. Nothing of this request was kept.`;
    return new AppError('entry-differs', detail, { entry, errors: [{ pointer: `/entries/${index}`, detail }] });
  }
  const detail = `Device ${batch.device.id} has used sequence ${sequence} for another entry than ${id}. Nothing of this request was kept.`;
  return new AppError('sequence-spent', detail, { entry, errors: [{ pointer: `/entries/${index}/sequence`, detail }] });
}

/** Reads new entries and settles their moments, in the order of the device's sequence. */
export function prepareEntries(
  batch: IncomingBatch,
  admitted: AdmittedBatch,
  device: DeviceRow,
  lookups: FarmLookups,
  ctx: { readonly staffId: string; readonly role: StaffRole | null },
  now: Date,
): readonly PreparedEntry[] {
  let previousAtMs = device.lastEffectiveAtMs;
  const fresh = admitted.entries.filter(({ admission }) => admission === 'new');
  return fresh
    .toSorted((a, b) => a.incoming.sequence - b.incoming.sequence)
    .map(({ incoming, contentHash }) => {
      const moment = momentOf(incoming, batch, now, previousAtMs);
      previousAtMs = moment.atMs;
      const read = readContent({ ...incoming, staffId: incoming.staffId ?? null });
      const named = incoming.staffId ?? ctx.staffId;
      const known = lookups.staffIds.has(named);
      const staffId = known ? named : ctx.staffId;
      const day = calendarDayAt(moment.atMs, lookups.timeZone);
      const entry = {
        id: incoming.id,
        kind: incoming.kind as EntryKind,
        payload: read.payload,
        staffId,
        atMs: moment.atMs,
        day,
      };
      return {
        entry: read.readable ? (entry as unknown as BenchEntry) : null,
        refusedAs: refusedBeforeRules(read, known, named),
        sentBy: { staffId: ctx.staffId, role: ctx.role },
        warnings: moment.clockWrong ? [{ code: 'device-clock-wrong', details: { offsetMs: batch.clockOffsetMs } }] : [],
        row: {
          id: incoming.id,
          device_id: batch.device.id,
          device_seq: incoming.sequence,
          staff_id: staffId,
          kind: incoming.kind,
          payload: read.payload,
          happened_at: new Date(incoming.happenedAt).toISOString(),
          clock_offset_ms: batch.clockOffsetMs,
          effective_at: new Date(moment.atMs).toISOString(),
          effective_day: day,
          recorded_at: now.toISOString(),
          content_hash: contentHash,
        },
      };
    });
}

/** The device as its entries leave it. */
export function deviceAfter(
  device: DeviceRow,
  { lastSequence }: AdmittedBatch,
  prepared: readonly PreparedEntry[],
): DeviceRow {
  const last = prepared.at(-1);
  const lastEffectiveAtMs = last ? Date.parse(last.row.effective_at) : device.lastEffectiveAtMs;
  return { ...device, lastSeq: lastSequence, lastEffectiveAtMs };
}

function momentOf(incoming: IncomingEntry, batch: IncomingBatch, now: Date, previousAtMs: number | null) {
  const happenedAtMs = Date.parse(incoming.happenedAt);
  if (batch.trustMoments) return { atMs: happenedAtMs, clockWrong: false };
  return effectiveMoment({ happenedAtMs, offsetMs: batch.clockOffsetMs, nowMs: now.getTime(), previousAtMs });
}

function refusedBeforeRules(
  read: ReturnType<typeof readContent>,
  staffKnown: boolean,
  staffId: string,
): PreparedEntry['refusedAs'] {
  if (!read.readable) {
    return { reason: 'malformed', obstacles: read.problems.map((details) => ({ code: 'malformed', details })) };
  }
  if (!staffKnown) return { reason: 'unknown-staff', obstacles: [{ code: 'unknown-staff', details: { staffId } }] };
  return null;
}
