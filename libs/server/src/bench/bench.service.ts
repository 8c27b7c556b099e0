import type {
  BenchAnswer,
  BenchBatch,
  BenchBatchAnswer,
  BenchChain,
  BenchPull,
  BenchPullQuery,
} from '@jarfold/contracts';
import { DomainError, type EntryKind, type EntryPayloads } from '@jarfold/domain';
import { enqueueReplan } from '../jobs/index.js';
import {
  AppError,
  type Clock,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
  type Ids,
  savepoint,
  sqlState,
} from '../platform/index.js';
import { type AdmittedBatch, admitBatch, type IncomingBatch, type IncomingEntry, prepareEntries } from './batch.js';
import { type ChainFault, ChainWalk, EMPTY_HEAD } from './chain.js';
import { chainFaultMessage } from './chain-fault-message.js';
import { linkedFromRow, logEntryJson } from './entry.mapper.js';
import { entriesAfter, lockLog, readHead, readSender, saveHeads } from './log.repository.js';
import { mattersToPlan } from './plan-relevance.js';
import { type RebuildReport, rebuild } from './rebuild.js';
import { type PreparedEntry, Recording } from './recording.js';
import { refusalMessage } from './refusal-message.js';
import type { CounterRow, DeviceRow, EntryRow } from './rows.js';
import { type FarmLookups, readLookups } from './settings.repository.js';
import { SharedTurns } from './shared-turns.js';

/** Entries that the service itself makes, such as the answers of a farm's first start. */
export const SERVER_DEVICE = { id: '00000000-0000-4000-8000-000000000001', name: 'Jarfold' } as const;

const CHAIN_PAGE = 2000;
/** Entries of several requests that share a transaction: about what one request may bring. */
const ENTRIES_TOGETHER = 500;
/** A year of a large farm is derived again in well under a minute; this is the point to give up. */
const REBUILD_LIMIT_MS = 600_000;

/** An action that another feature records: no sequence, and an id only where a repeat must be told. */
export type ActionToAppend = {
  [K in EntryKind]: {
    readonly kind: K;
    readonly payload: EntryPayloads[K];
    readonly id?: string;
    /** ISO 8601 in UTC; now, unless it is told later. */
    readonly happenedAt?: string;
    /** Who did it; who is signed in, unless somebody else tells it. */
    readonly staffId?: string;
  };
}[EntryKind];

/** A staff member's context: whatever writes the log has somebody behind it. */
type StaffContext = GrowerContext & { readonly staffId: string };

/**
 * The bench log: what happened, in order, once each; and the state of everything on the bench, kept in the same
 * transaction. A request is recorded whole under the grower's lock, alone or with what waited beside it; see
 * docs/decisions/0004-bench-log.md.
 */
export class BenchService {
  readonly #turns = new SharedTurns<Request, Recorded>(
    {
      together: (growerId, requests) => this.#recordRequests(growerId, requests),
      alone: (growerId, request) => this.#recordRequest(growerId, request),
      isOnesOwn: (error) => error instanceof AppError || isDataError(error),
      sizeOf: ({ batch }) => batch.entries.length,
    },
    ENTRIES_TOGETHER,
  );

  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly ids: Ids,
  ) {}

  /**
   * Records what a tablet sends and answers entry by entry.
   * @param shownDeviceId the enrolled tablet the request came from, shown by its own secret; null for none
   * @throws AppError `entry-differs`, `sequence-spent`, `device-revoked`, `device-mismatch`
   */
  async record(ctx: GrowerContext, batch: BenchBatch, shownDeviceId: string | null = null): Promise<BenchBatchAnswer> {
    const staff = requireStaff(ctx);
    if (batch.deviceId === SERVER_DEVICE.id) {
      throw new AppError('device-revoked', 'That device id is the server’s own: give this device an id of its own.');
    }
    const now = this.clock.now();
    const clockOffsetMs = now.getTime() - Date.parse(batch.sentAt);
    const device = { id: batch.deviceId, name: `Device ${batch.deviceId.slice(0, 8)}` };
    const { entries } = batch;
    const incoming: IncomingBatch = { device, clockOffsetMs, trustMoments: false, entries, shownDeviceId };
    const recorded = await this.#turns.run(staff.growerId, { ctx: staff, batch: incoming, now });
    return {
      lastSequence: recorded.admitted.lastSequence,
      position: recorded.head.position,
      clockOffsetMs,
      answers: answersTo(recorded),
    };
  }

  /**
   * Records actions inside another feature's transaction, as the server's own device.
   * @throws AppError `rule-refused` when any of them is refused: the caller's transaction then keeps nothing.
   */
  async append(tx: GrowerTx, ctx: GrowerContext, actions: readonly ActionToAppend[]): Promise<void> {
    const staff = requireStaff(ctx);
    const now = this.clock.now();
    const standing = await standingOf(tx, ctx.growerId, runIdsOf(actions));
    const { lastSeq } = (await readSender(tx, ctx.growerId, SERVER_DEVICE, [])).device;
    const entries = actions.map(({ id, kind, payload, happenedAt, staffId }, index) => ({
      id: id ?? this.ids.next(),
      sequence: lastSeq + 1 + index,
      happenedAt: happenedAt ?? now.toISOString(),
      staffId,
      kind,
      payload: payload as IncomingEntry['payload'],
    }));
    const incoming: IncomingBatch = { device: SERVER_DEVICE, clockOffsetMs: 0, trustMoments: true, entries };
    const recorded = await this.#recordIn(tx, { ctx: staff, batch: incoming, now }, standing, recordTogether);
    const refusedRow = [...recorded.rows.values()].find(({ outcome }) => outcome === 'refused');
    if (refusedRow) throw new AppError('rule-refused', messageOf(refusedRow), { reason: refusedRow.refusal_code });
  }

  /** Entries after a position, in order and without gaps. */
  async pull(ctx: GrowerContext, { after, limit }: BenchPullQuery): Promise<BenchPull> {
    return this.growerDb.read(ctx, async (tx) => {
      const head = await readHead(tx, ctx.growerId);
      const rows = await entriesAfter(tx, ctx.growerId, after, limit);
      return { entries: rows.map(logEntryJson), next: rows.at(-1)?.position ?? after, head: head.position };
    });
  }

  /**
   * Walks the chain and says where it is broken, if it is.
   * @param part where an earlier walk stopped, and how many entries to look at; the whole chain, unless told
   */
  async verifyChain(
    ctx: GrowerContext,
    { after = 0, head = EMPTY_HEAD, atMost = Infinity }: Partial<ChainPart> = {},
  ): Promise<BenchChain> {
    const walk = new ChainWalk({ position: after, head });
    for (let last = after; ; ) {
      const limit = Math.min(CHAIN_PAGE, atMost - walk.checked);
      const page = await this.growerDb.read(ctx, async (tx) => ({
        rows: await entriesAfter(tx, ctx.growerId, last, limit),
        counter: await readHead(tx, ctx.growerId),
      }));
      for (const row of page.rows) walk.see(linkedFromRow(row));
      const lastRow = page.rows.at(-1);
      // The page after the last entry and the counter are one snapshot, so entries that come meanwhile do no harm.
      if (!lastRow) return chainReport(walk, walk.finish(page.counter), null);
      if (walk.fault) return chainReport(walk, walk.fault, null);
      if (walk.checked >= atMost) return chainReport(walk, null, walk.position);
      last = lastRow.position;
    }
  }

  /** Derives everything on the bench again from the log and stores that instead of what was there. */
  async rebuildProjections(ctx: GrowerContext): Promise<RebuildReport> {
    const work = async (tx: GrowerTx) => {
      await lockLog(tx, ctx.growerId);
      return rebuild(tx, ctx.growerId);
    };
    return this.#turns.runAlone(ctx.growerId, () => this.growerDb.run(ctx, work, { timeoutMs: REBUILD_LIMIT_MS }));
  }

  /** Records what several senders bring in one transaction. */
  #recordRequests(growerId: string, requests: readonly Request[]): Promise<readonly Recorded[]> {
    return this.growerDb.run({ growerId }, async (tx) => {
      const runIds = runIdsOf(requests.flatMap(({ batch }) => batch.entries));
      let standing = await standingOf(tx, growerId, runIds);
      const done: Recorded[] = [];
      for (const request of requests) {
        const recorded = await this.#recordIn(tx, request, standing, recordTogether);
        standing = { ...standing, head: recorded.head };
        done.push(recorded);
      }
      return done;
    });
  }

  /**
   * Records a request in a transaction of its own. Should the database refuse what the rules let through, nothing of it
   * is kept, and it is recorded again entry by entry: the one in the way is then stored as refused, the others as what
   * they are.
   */
  async #recordRequest(growerId: string, request: Request): Promise<Recorded> {
    const by = (write: typeof recordTogether) =>
      this.growerDb.run({ growerId }, async (tx) => {
        const standing = await standingOf(tx, growerId, runIdsOf(request.batch.entries));
        return this.#recordIn(tx, request, standing, write);
      });
    try {
      return await by(recordTogether);
    } catch (error) {
      if (!isDataError(error)) throw error;
    }
    return by(recordOneByOne);
  }

  async #recordIn(
    tx: GrowerTx,
    { ctx, batch, now }: Request,
    { lookups, head }: Standing,
    write: typeof recordTogether,
  ): Promise<Recorded> {
    const ids = batch.entries.map(({ id }) => id);
    const { device, stored } = await readSender(tx, ctx.growerId, batch.device, ids);
    if (device.revoked) throw new AppError('device-revoked');
    requireOwnDevice(device, batch.shownDeviceId);
    const rows = new Map(stored.map((row) => [row.id, row]));
    const admitted = admitBatch(batch, device, rows);
    const prepared = prepareEntries(batch, admitted, device, lookups, ctx, now);
    const recorded = await write(tx, ctx.growerId, head, lookups, prepared);
    for (const row of recorded.rows) rows.set(row.id, row);
    await this.#finish(tx, ctx, recorded, { device, admitted, prepared, now });
    return { admitted, rows, head: recorded.head };
  }

  async #finish(
    tx: GrowerTx,
    ctx: StaffContext,
    recorded: Written,
    {
      device,
      admitted,
      prepared,
      now,
    }: { device: DeviceRow; admitted: AdmittedBatch; prepared: readonly PreparedEntry[]; now: Date },
  ): Promise<void> {
    const last = prepared.at(-1)?.row.effective_at;
    const lastEffectiveAt = last ? new Date(last) : dateOrNull(device.lastEffectiveAtMs);
    const reached = { id: device.id, lastSeq: admitted.lastSequence, lastEffectiveAt };
    await saveHeads(tx, ctx.growerId, recorded.head, reached, now);
    const matters = recorded.rows.some(({ outcome, kind }) => outcome === 'applied' && mattersToPlan(kind));
    if (matters) await enqueueReplan(tx, ctx, 'bench-entries');
  }
}

/** An id is no secret: the entries of an enrolled tablet come with the tablet's own token or not at all. */
function requireOwnDevice({ id, enrolled }: DeviceRow, shownDeviceId: string | null | undefined): void {
  if (shownDeviceId === undefined || shownDeviceId === id) return;
  if (!enrolled && shownDeviceId === null) return;
  const whose = enrolled ? 'an enrolled tablet' : 'another device than this tablet';
  throw new AppError('device-mismatch', `The device id ${id} is that of ${whose}. Nothing of this request was kept.`);
}

/** A stretch of the chain. */
export interface ChainPart {
  readonly after: number;
  /** Hash of the entry at `after`, as the walk before found it. */
  readonly head: string;
  readonly atMost: number;
}

function chainReport(walk: ChainWalk, fault: ChainFault | null, next: number | null): BenchChain {
  const { checked, head } = walk;
  return {
    intact: fault === null,
    checked,
    head,
    next,
    fault: fault && { ...fault, message: chainFaultMessage(fault) },
  };
}

/** What one sender brings at one moment. */
interface Request {
  readonly ctx: StaffContext;
  readonly batch: IncomingBatch;
  readonly now: Date;
}

/** What a request is decided on: the farm's settings, and the head of its locked log. */
interface Standing {
  readonly lookups: FarmLookups;
  readonly head: CounterRow;
}

/** Settings are no part of the log: they are read before the lock, so that it is held for less. */
async function standingOf(tx: GrowerTx, growerId: string, runIds: readonly string[]): Promise<Standing> {
  const lookups = await readLookups(tx, growerId, runIds);
  return { lookups, head: await lockLog(tx, growerId) };
}

interface Recorded {
  readonly admitted: AdmittedBatch;
  /** Stored rows by entry id, those of earlier requests included. */
  readonly rows: ReadonlyMap<string, EntryRow>;
  readonly head: CounterRow;
}

interface Written {
  readonly rows: readonly EntryRow[];
  readonly head: CounterRow;
}

async function recordOneByOne(
  tx: GrowerTx,
  growerId: string,
  head: CounterRow,
  lookups: FarmLookups,
  entries: readonly PreparedEntry[],
): Promise<Written> {
  const rows: EntryRow[] = [];
  let newHead = head;
  for (const entry of entries) {
    const written = await recordAlone(tx, growerId, newHead, lookups, entry);
    rows.push(...written.rows);
    newHead = written.head;
  }
  return { rows, head: newHead };
}

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

async function recordTogether(
  tx: GrowerTx,
  growerId: string,
  head: CounterRow,
  lookups: FarmLookups,
  entries: readonly PreparedEntry[],
): Promise<Written> {
  if (entries.length === 0) return { rows: [], head };
  const recording = new Recording(tx, growerId, head, lookups);
  await recording.load(entries, lookups);
  for (const entry of entries) await recording.record(entry);
  await recording.write();
  return { rows: recording.rows, head: recording.head };
}

/** Errors about the data themselves (SQLSTATE classes 22 and 23, or a rule of the domain), not about the connection. */
function isDataError(error: unknown): boolean {
  if (error instanceof AppError) return isDataError(error.cause);
  return error instanceof DomainError || /^2[23]/.test(sqlState(error) ?? '');
}

function answersTo({ admitted, rows }: Recorded): BenchAnswer[] {
  const sendFrom = admitted.lastSequence + 1;
  return admitted.entries.map(({ incoming, admission }): BenchAnswer => {
    const row = rows.get(incoming.id);
    if (admission === 'gap' || !row) return { outcome: 'gap', id: incoming.id, sequence: incoming.sequence, sendFrom };
    const base = {
      id: row.id,
      sequence: incoming.sequence,
      position: row.position,
      repeated: admission === 'repeated',
    };
    if (row.outcome === 'applied')
      return { outcome: 'applied', ...base, warnings: [...row.warnings], facts: row.facts };
    const obstacles = [...(row.details?.obstacles ?? [])];
    return { outcome: 'refused', ...base, reason: row.refusal_code ?? '', message: messageOf(row), obstacles };
  });
}

function messageOf(row: EntryRow): string {
  return refusalMessage(row.refusal_code ?? '', row.details?.obstacles ?? []);
}

function runIdsOf(entries: readonly { readonly payload: object }[]): string[] {
  const ids = entries
    .map(({ payload }) => ('runId' in payload ? payload.runId : undefined))
    .filter((id) => typeof id === 'string');
  return [...new Set(ids)].filter((id) => /^[0-9a-f-]{36}$/i.test(id));
}

function requireStaff(ctx: GrowerContext): StaffContext {
  if (ctx.staffId === null) throw new TypeError('The bench log needs to know who is acting.');
  return { ...ctx, staffId: ctx.staffId };
}

function dateOrNull(atMs: number | null): Date | null {
  return atMs === null ? null : new Date(atMs);
}
