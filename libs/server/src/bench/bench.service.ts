import type {
  BenchAnswer,
  BenchBatch,
  BenchBatchAnswer,
  BenchChain,
  BenchPull,
  BenchPullQuery,
} from '@jarfold/contracts';
import type { EntryKind, EntryPayloads } from '@jarfold/domain';
import {
  AppError,
  type Clock,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
  type Ids,
  SharedTurns,
} from '../platform/index.js';
import type { IncomingBatch, IncomingEntry } from './batch.js';
import { type ChainFault, ChainWalk, EMPTY_HEAD } from './chain.js';
import { chainFaultMessage } from './chain-fault-message.js';
import { linkedFromRow, logEntryJson } from './entry.mapper.js';
import { entriesAfter, lockLog, readHead, readSender } from './log.repository.js';
import { type RebuildReport, rebuild } from './rebuild.js';
import { refusalMessage } from './refusal-message.js';
import {
  isDataError,
  type Recorded,
  type Request,
  recordOneByOne,
  recordRequests,
  recordTogether,
  type StaffContext,
  standingOf,
  type Write,
} from './requests.js';
import type { EntryRow } from './rows.js';

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

/**
 * The bench log: what happened, in order, once each; and the state of everything on the bench, kept in the same
 * transaction. A request is recorded whole under the grower's lock, alone or with what waited beside it; see
 * docs/decisions/0004-bench-log.md.
 */
export class BenchService {
  readonly #turns = new SharedTurns<Request, Recorded>(
    {
      together: (growerId, requests) => this.#record(growerId, requests, recordTogether),
      alone: (growerId, request) => this.#recordAlone(growerId, request),
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
      position: recorded.position,
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
    const standing = await standingOf(tx, ctx.growerId, actions);
    const { lastSeq } = await readSender(tx, ctx.growerId, SERVER_DEVICE);
    const entries = actions.map(({ id, kind, payload, happenedAt, staffId }, index) => ({
      id: id ?? this.ids.next(),
      sequence: lastSeq + 1 + index,
      happenedAt: happenedAt ?? now.toISOString(),
      staffId,
      kind,
      payload: payload as IncomingEntry['payload'],
    }));
    const incoming: IncomingBatch = { device: SERVER_DEVICE, clockOffsetMs: 0, trustMoments: true, entries };
    const request = { ctx: staff, batch: incoming, now };
    const [recorded] = await recordRequests(tx, ctx.growerId, [request], standing, recordTogether);
    const refusedRow = [...(recorded?.rows.values() ?? [])].find(({ outcome }) => outcome === 'refused');
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

  /** Records what senders bring in one transaction. */
  #record(growerId: string, requests: readonly Request[], write: Write): Promise<readonly Recorded[]> {
    return this.growerDb.run({ growerId }, async (tx) => {
      const entries = requests.flatMap(({ batch }) => batch.entries);
      const standing = await standingOf(tx, growerId, entries);
      return recordRequests(tx, growerId, requests, standing, write);
    });
  }

  /**
   * Records a request in a transaction of its own. Should the database refuse what the rules let through, nothing of it
   * is kept, and it is recorded again entry by entry: the one in the way is then stored as refused, the others as what
   * they are.
   */
  async #recordAlone(growerId: string, request: Request): Promise<Recorded> {
    const by = async (write: Write) => {
      const [recorded] = await this.#record(growerId, [request], write);
      if (!recorded) throw new TypeError('A request was recorded without an answer.');
      return recorded;
    };
    try {
      return await by(recordTogether);
    } catch (error) {
      if (!isDataError(error)) throw error;
    }
    return by(recordOneByOne);
  }
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

function requireStaff(ctx: GrowerContext): StaffContext {
  if (ctx.staffId === null) throw new TypeError('The bench log needs to know who is acting.');
  return { ...ctx, staffId: ctx.staffId };
}
