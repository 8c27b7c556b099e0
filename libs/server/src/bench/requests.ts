import { DomainError } from '@jarfold/domain';
import { enqueueReplan } from '../jobs/index.js';
import { AppError, type GrowerContext, type GrowerTx, savepoint, sqlState } from '../platform/index.js';
import { type AdmittedBatch, admitBatch, deviceAfter, type IncomingBatch, prepareEntries } from './batch.js';
import { type DeviceReached, lockLog, readSenders, saveHeads } from './log.repository.js';
import { mattersToPlan } from './plan-relevance.js';
import { type PreparedEntry, Recording, type Written } from './recording.js';
import type { CounterRow, DeviceRow, EntryRow } from './rows.js';
import { type FarmLookups, readLookups } from './settings.repository.js';

/** A staff member's context: whatever writes the log has somebody behind it. */
export type StaffContext = GrowerContext & { readonly staffId: string };

/** What one sender brings at one moment. */
export interface Request {
  readonly ctx: StaffContext;
  readonly batch: IncomingBatch;
  readonly now: Date;
}

/** What a request is decided on: the farm's settings, and the head of its locked log. */
export interface Standing {
  readonly lookups: FarmLookups;
  readonly head: CounterRow;
}

export interface Recorded {
  readonly admitted: AdmittedBatch;
  /** Stored rows by entry id, those of other requests included. */
  readonly rows: ReadonlyMap<string, EntryRow>;
  /** Of the last entry in the log, once this request is in it. */
  readonly position: number;
}

/** Writes entries behind the head of the locked log. */
export type Write = (
  tx: GrowerTx,
  growerId: string,
  head: CounterRow,
  lookups: FarmLookups,
  entries: readonly PreparedEntry[],
) => Promise<Written>;

/**
 * Decides requests one after another and writes them together: what is stored of their senders is read once, and so is
 * everything their entries touch.
 */
export async function recordRequests(
  tx: GrowerTx,
  growerId: string,
  requests: readonly Request[],
  { lookups, head }: Standing,
  write: Write,
): Promise<readonly Recorded[]> {
  const ids = requests.flatMap(({ batch }) => batch.entries.map(({ id }) => id));
  const senders = requests.map(({ batch }) => batch.device);
  const { devices, stored } = await readSenders(tx, growerId, senders, ids);
  const { admitted, prepared, reached } = admitRequests(requests, devices, stored, lookups);
  const written = await write(tx, growerId, head, lookups, prepared.flat());
  await saveHeads(tx, growerId, written.head, reached);
  const matters = written.rows.some(({ outcome, kind }) => outcome === 'applied' && mattersToPlan(kind));
  if (matters) await enqueueReplan(tx, { growerId }, 'bench-entries');
  const rows = new Map([...stored, ...written.rows].map((row) => [row.id, row]));
  let { position } = head;
  return admitted.map((batch, at) => {
    position += prepared[at]?.length ?? 0;
    return { admitted: batch, rows, position };
  });
}

/** Settings are no part of the log: they are read before the lock, so that it is held for less. */
export async function standingOf(tx: GrowerTx, growerId: string, entries: readonly OfRun[]): Promise<Standing> {
  const lookups = await readLookups(tx, growerId, runIdsOf(entries));
  return { lookups, head: await lockLog(tx, growerId) };
}

function runIdsOf(entries: readonly OfRun[]): string[] {
  const ids = entries
    .map(({ payload }) => ('runId' in payload ? payload.runId : undefined))
    .filter((id) => typeof id === 'string');
  return [...new Set(ids)].filter((id) => /^[0-9a-f-]{36}$/i.test(id));
}

interface OfRun {
  readonly payload: object;
}

/** What each request brings anew, and where its device is then; the next one of that device goes on from there. */
function admitRequests(
  requests: readonly Request[],
  senders: ReadonlyMap<string, DeviceRow>,
  stored: readonly EntryRow[],
  lookups: FarmLookups,
) {
  const recorded = new Map(stored.map(({ id, content_hash }) => [id, content_hash]));
  const devices = new Map(senders);
  const reached = new Map<string, DeviceReached>();
  const admitted: AdmittedBatch[] = [];
  const prepared: (readonly PreparedEntry[])[] = [];
  for (const { ctx, batch, now } of requests) {
    const device = devices.get(batch.device.id);
    if (!device) throw new TypeError(`The device ${batch.device.id} was not read.`);
    if (device.revoked) throw new AppError('device-revoked');
    requireOwnDevice(device, batch.shownDeviceId);
    const own = admitBatch(batch, device, recorded);
    const entries = prepareEntries(batch, own, device, lookups, ctx, now);
    const after = deviceAfter(device, own, entries);
    devices.set(device.id, after);
    reached.set(device.id, { ...after, seenAt: now });
    admitted.push(own);
    prepared.push(entries);
  }
  return { admitted, prepared, reached: [...reached.values()] };
}

/** An id is no secret: the entries of an enrolled tablet come with the tablet's own token or not at all. */
function requireOwnDevice({ id, enrolled }: DeviceRow, shownDeviceId: string | null | undefined): void {
  if (shownDeviceId === undefined || shownDeviceId === id) return;
  if (!enrolled && shownDeviceId === null) return;
  const whose = enrolled ? 'an enrolled tablet' : 'another device than this tablet';
  throw new AppError('device-mismatch', `The device id ${id} is that of ${whose}. Nothing of this request was kept.`);
}

export const recordOneByOne: Write = async (tx, growerId, head, lookups, entries) => {
  const rows: EntryRow[] = [];
  let newHead = head;
  for (const entry of entries) {
    const written = await recordAlone(tx, growerId, newHead, lookups, entry);
    rows.push(...written.rows);
    newHead = written.head;
  }
  return { rows, head: newHead };
};

async function recordAlone(
  tx: GrowerTx,
  growerId: string,
  head: CounterRow,
  lookups: FarmLookups,
  entry: PreparedEntry,
): Promise<Written> {
  try {
    return await savepoint(tx, () => recordTogether(tx, growerId, head, lookups, [entry]));
  } catch (error) {
    if (!isDataError(error)) throw error;
    const obstacles = [{ code: 'not-storable', details: { sqlState: sqlState(error) } }];
    const refusedEntry = { ...entry, refusedAs: { reason: 'not-storable', obstacles } };
    return recordTogether(tx, growerId, head, lookups, [refusedEntry]);
  }
}

export const recordTogether: Write = async (tx, growerId, head, lookups, entries) => {
  if (entries.length === 0) return { rows: [], head };
  const recording = new Recording(tx, growerId, head, lookups);
  await recording.load(entries, lookups);
  for (const entry of entries) await recording.record(entry);
  return recording.write();
};

/** Errors about the data themselves (SQLSTATE classes 22 and 23, or a rule of the domain), not about the connection. */
export function isDataError(error: unknown): boolean {
  if (error instanceof AppError) return isDataError(error.cause);
  return error instanceof DomainError || /^2[23]/.test(sqlState(error) ?? '');
}
