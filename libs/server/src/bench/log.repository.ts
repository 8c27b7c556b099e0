import type { GrowerTx } from '../platform/index.js';
import type { CounterRow, DeviceRow, EntryRow } from './rows.js';

/** Locks the grower's log until the transaction ends and reads its head. Everything that writes the log begins here. */
export async function lockLog(tx: GrowerTx, growerId: string): Promise<CounterRow> {
  const rows = await tx.$queryRaw<{ position: bigint; head_hash: string }[]>`
    SELECT position, head_hash FROM bench_counter WHERE grower_id = ${growerId}::uuid FOR UPDATE`;
  const row = rows[0];
  if (!row) throw new Error(`Grower ${growerId} has no bench counter.`);
  return { position: Number(row.position), headHash: row.head_hash };
}

export async function readHead(tx: GrowerTx, growerId: string): Promise<CounterRow> {
  const row = await tx.benchCounter.findUniqueOrThrow({ where: { growerId } });
  return { position: Number(row.position), headHash: row.headHash };
}

/**
 * The devices that send, by id, and what is stored already of what they send. The first entry of a new device makes the
 * device; the caller holds the log's lock.
 */
export async function readSenders(
  tx: GrowerTx,
  growerId: string,
  senders: readonly Sender[],
  entryIds: readonly string[],
): Promise<{ readonly devices: ReadonlyMap<string, DeviceRow>; readonly stored: readonly EntryRow[] }> {
  const names = new Map(senders.map(({ id, name }) => [id, name]));
  const rows = await tx.$queryRaw<({ readonly device: DeviceJson | null } & EntryColumns)[]>`
    SELECT to_jsonb(d) AS device, e.* FROM device d LEFT JOIN bench_entry e ON false
    WHERE d.grower_id = ${growerId}::uuid AND d.id = ANY(${[...names.keys()]}::uuid[])
    UNION ALL
    SELECT NULL, e.* FROM bench_entry e
    WHERE e.grower_id = ${growerId}::uuid AND e.id = ANY(${[...entryIds]}::uuid[])`;
  const known = rows.flatMap(({ device }) => (device === null ? [] : [deviceFromJson(device)]));
  const devices = new Map(known.map((device) => [device.id, device]));
  const fresh = [...names].filter(([id]) => !devices.has(id)).map(([id, name]) => ({ growerId, id, name }));
  if (fresh.length > 0) await tx.device.createMany({ data: fresh });
  for (const { id } of fresh) devices.set(id, newDevice(id));
  return { devices, stored: rows.filter(({ device }) => device === null).map(entryFromColumns) };
}

export interface Sender {
  readonly id: string;
  readonly name: string;
}

/** The one device that sends; see `readSenders`. */
export async function readSender(tx: GrowerTx, growerId: string, sender: Sender): Promise<DeviceRow> {
  const { devices } = await readSenders(tx, growerId, [sender], []);
  return devices.get(sender.id) ?? newDevice(sender.id);
}

function newDevice(id: string): DeviceRow {
  return { id, lastSeq: 0, lastEffectiveAtMs: null, revoked: false, enrolled: false };
}

function deviceFromJson({ id, last_seq, last_effective_at, revoked_at, enrolled }: DeviceJson): DeviceRow {
  const lastEffectiveAtMs = last_effective_at === null ? null : Date.parse(last_effective_at);
  return { id, lastSeq: last_seq, lastEffectiveAtMs, revoked: revoked_at !== null, enrolled };
}

interface DeviceJson {
  readonly id: string;
  readonly last_seq: number;
  readonly last_effective_at: string | null;
  readonly revoked_at: string | null;
  readonly enrolled: boolean;
}

/** Where a device has got to. */
export interface DeviceReached {
  readonly id: string;
  readonly lastSeq: number;
  readonly lastEffectiveAtMs: number | null;
  readonly seenAt: Date;
}

/** What requests leave behind beside their entries: the log's head and where each of their devices has got to. */
export async function saveHeads(
  tx: GrowerTx,
  growerId: string,
  head: CounterRow,
  devices: readonly DeviceReached[],
): Promise<void> {
  const reached = devices.map(({ id, lastSeq, lastEffectiveAtMs, seenAt }) => ({
    ...{ id, last_seq: lastSeq, last_seen_at: seenAt.toISOString() },
    last_effective_at: lastEffectiveAtMs === null ? null : new Date(lastEffectiveAtMs).toISOString(),
  }));
  await tx.$executeRaw`
    WITH moved AS (
      UPDATE bench_counter SET position = ${head.position}, head_hash = ${head.headHash}
      WHERE grower_id = ${growerId}::uuid)
    UPDATE device d SET last_seq = r.last_seq, last_effective_at = r.last_effective_at, last_seen_at = r.last_seen_at
    FROM jsonb_to_recordset(${JSON.stringify(reached)}::jsonb)
      AS r (id uuid, last_seq bigint, last_effective_at timestamptz, last_seen_at timestamptz)
    WHERE d.grower_id = ${growerId}::uuid AND d.id = r.id`;
}

export interface ThingLink {
  readonly thing_id: string;
  readonly position: number;
}

/** Writes entries and what they are about. */
export async function insertEntries(
  tx: GrowerTx,
  growerId: string,
  rows: readonly EntryRow[],
  links: readonly ThingLink[],
): Promise<void> {
  await tx.$executeRaw`
    WITH entries AS (
      INSERT INTO bench_entry (grower_id, position, id, device_id, device_seq, staff_id, kind, payload, happened_at,
        clock_offset_ms, effective_at, effective_day, recorded_at, outcome, refusal_code, details, warnings, facts,
        content_hash, previous_hash, hash)
      SELECT ${growerId}::uuid, r.* FROM jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) AS r (
        position bigint, id uuid, device_id uuid, device_seq bigint, staff_id uuid, kind text, payload jsonb,
        happened_at timestamptz, clock_offset_ms bigint, effective_at timestamptz, effective_day date,
        recorded_at timestamptz, outcome text, refusal_code text, details jsonb, warnings jsonb, facts jsonb,
        content_hash text, previous_hash text, hash text))
    INSERT INTO bench_entry_thing (grower_id, thing_id, position)
    SELECT ${growerId}::uuid, r.* FROM jsonb_to_recordset(${JSON.stringify(links)}::jsonb)
      AS r (thing_id uuid, position bigint)`;
}

/** Replaces what is voided among the given entries. */
export async function replaceVoids(
  tx: GrowerTx,
  growerId: string,
  among: readonly string[],
  voids: readonly { readonly entry_id: string; readonly voided_by: string }[],
): Promise<void> {
  if (among.length === 0) return;
  await tx.$executeRaw`
    DELETE FROM bench_void WHERE grower_id = ${growerId}::uuid AND entry_id = ANY(${[...among]}::uuid[])`;
  if (voids.length === 0) return;
  await tx.$executeRaw`
    INSERT INTO bench_void (grower_id, entry_id, voided_by)
    SELECT ${growerId}::uuid, r.* FROM jsonb_to_recordset(${JSON.stringify(voids)}::jsonb)
      AS r (entry_id uuid, voided_by uuid)`;
}

export async function entriesById(tx: GrowerTx, growerId: string, ids: readonly string[]): Promise<EntryRow[]> {
  if (ids.length === 0) return [];
  const rows = await tx.$queryRaw<EntryColumns[]>`
    SELECT * FROM bench_entry WHERE grower_id = ${growerId}::uuid AND id = ANY(${[...ids]}::uuid[])`;
  return rows.map(entryFromColumns);
}

/** Applied entries that touch any of the things, in log order. */
export async function entriesOfThings(tx: GrowerTx, growerId: string, ids: readonly string[]): Promise<EntryRow[]> {
  const rows = await tx.$queryRaw<EntryColumns[]>`
    SELECT * FROM bench_entry
    WHERE grower_id = ${growerId}::uuid AND outcome = 'applied' AND position IN (
      SELECT position FROM bench_entry_thing
      WHERE grower_id = ${growerId}::uuid AND thing_id = ANY(${[...ids]}::uuid[]))
    ORDER BY position`;
  return rows.map(entryFromColumns);
}

export async function entriesAfter(tx: GrowerTx, growerId: string, after: number, limit: number): Promise<EntryRow[]> {
  const rows = await tx.$queryRaw<EntryColumns[]>`
    SELECT * FROM bench_entry WHERE grower_id = ${growerId}::uuid AND position > ${after}
    ORDER BY position LIMIT ${limit}`;
  return rows.map(entryFromColumns);
}

interface EntryColumns
  extends Omit<EntryRow, 'position' | 'device_seq' | 'clock_offset_ms' | 'effective_day' | MomentColumn> {
  readonly position: bigint;
  readonly device_seq: bigint;
  readonly clock_offset_ms: bigint | null;
  readonly effective_day: Date;
  readonly happened_at: Date;
  readonly effective_at: Date;
  readonly recorded_at: Date;
}
type MomentColumn = 'happened_at' | 'effective_at' | 'recorded_at';

function entryFromColumns(row: EntryColumns): EntryRow {
  return {
    position: Number(row.position),
    id: row.id,
    device_id: row.device_id,
    device_seq: Number(row.device_seq),
    staff_id: row.staff_id,
    kind: row.kind,
    payload: row.payload,
    happened_at: row.happened_at.toISOString(),
    clock_offset_ms: Number(row.clock_offset_ms),
    effective_at: row.effective_at.toISOString(),
    effective_day: row.effective_day.toISOString().slice(0, 10) as EntryRow['effective_day'],
    recorded_at: row.recorded_at.toISOString(),
    outcome: row.outcome,
    refusal_code: row.refusal_code,
    details: row.details,
    warnings: row.warnings,
    facts: row.facts,
    content_hash: row.content_hash,
    previous_hash: row.previous_hash,
    hash: row.hash,
  };
}

/** Tells the database how much the tables of the log and its projections hold, which decides how it looks things up. */
export async function refreshStatistics(tx: GrowerTx): Promise<void> {
  await tx.$executeRaw`SELECT refresh_bench_statistics()`;
}
