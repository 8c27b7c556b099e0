import type { BenchLogEntry } from '@jarfold/contracts';
import type { BenchEntry, EntryFacts, LoggedEntry } from '@jarfold/domain';
import type { ChainedEntry, LinkedEntry } from './chain.js';
import type { DecidedRow, EntryRow } from './rows.js';

/** A stored entry as the rules read it. Only applied entries are readable: a refused one may hold anything. */
export function loggedFromRow(row: DecidedRow): LoggedEntry {
  const entry = {
    id: row.id,
    kind: row.kind,
    payload: row.payload,
    staffId: row.staff_id,
    atMs: Date.parse(row.effective_at),
    day: row.effective_day,
  };
  return { position: row.position, entry: entry as unknown as BenchEntry, facts: row.facts as EntryFacts };
}

export function chainedFromRow(row: DecidedRow): ChainedEntry {
  return {
    position: row.position,
    id: row.id,
    deviceId: row.device_id,
    deviceSeq: row.device_seq,
    staffId: row.staff_id,
    kind: row.kind,
    payload: row.payload,
    happenedAt: row.happened_at,
    clockOffsetMs: row.clock_offset_ms,
    effectiveAt: row.effective_at,
    effectiveDay: row.effective_day,
    recordedAt: row.recorded_at,
    outcome: row.outcome,
    refusalCode: row.refusal_code,
    details: row.details,
    warnings: row.warnings,
    facts: row.facts,
    contentHash: row.content_hash,
  };
}

export function linkedFromRow(row: EntryRow): LinkedEntry {
  return { ...chainedFromRow(row), previousHash: row.previous_hash, hash: row.hash };
}

export function logEntryJson(row: EntryRow): BenchLogEntry {
  return {
    position: row.position,
    id: row.id,
    deviceId: row.device_id,
    sequence: row.device_seq,
    staffId: row.staff_id,
    kind: row.kind,
    payload: row.payload,
    happenedAt: row.happened_at,
    effectiveAt: row.effective_at,
    effectiveDay: row.effective_day,
    recordedAt: row.recorded_at,
    outcome: row.outcome,
    reason: row.refusal_code,
    obstacles: [...(row.details?.obstacles ?? [])],
    warnings: [...row.warnings],
    facts: row.facts,
    hash: row.hash,
  };
}
