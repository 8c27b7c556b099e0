import type { LedgerChanges } from '@jarfold/domain';
import { AppError, type GrowerContext, type GrowerTx } from '../platform/index.js';
import { admitBatch, deviceAfter, type IncomingEntry, prepareEntries } from './batch.js';
import { lockLog, readHead, readSenders, saveHeads } from './log.repository.js';
import { Recording } from './recording.js';
import { refusalMessage } from './refusal-message.js';
import type { CounterRow } from './rows.js';
import { readLookups } from './settings.repository.js';
import { saveChanges } from './things.repository.js';

/** A farm's past that comes into the log at once: entries of their own device, oldest first, about things they make. */
export interface PastBatch {
  readonly device: { readonly id: string; readonly name: string };
  readonly entries: readonly Omit<IncomingEntry, 'sequence'>[];
}

/** Where a batch stands in the log. */
export interface BatchPlace {
  readonly firstPosition: number;
  readonly lastPosition: number;
  /** How long the log was locked, in milliseconds. */
  readonly lockedMs: number;
}

const THINGS_PER_STATEMENT = 1000;
/** Shorter than the database's own wait for a deadlock (one second), so that a tablet never is what has to give way. */
const LOCK_WAIT = '800ms';

/**
 * Records a batch so that the log is locked only for its last step. The entries are decided and the things they make are
 * written first: nobody sees them before the transaction ends, and tablets go on. Then the log is locked, the entries are
 * chained behind its head, and the transaction can end. All of it or nothing.
 *
 * This is sound because the entries are about things of their own: whatever tablets record meanwhile cannot change them.
 * The one thing they share is codes, and those are unique in the database.
 * @param onWritten told after each statement how many things were written
 * @throws AppError `rule-refused` when an entry is refused; the caller's transaction then keeps nothing
 */
export async function recordPast(
  tx: GrowerTx,
  ctx: GrowerContext & { readonly staffId: string },
  batch: PastBatch,
  now: Date,
  onWritten: (things: number) => Promise<void> = async () => {},
): Promise<{ readonly append: () => Promise<BatchPlace> }> {
  const decided = await decide(tx, ctx, batch, now, { position: 0, headHash: '' });
  const { before, after } = parted(decided.recording.changes);
  await writeThings(tx, ctx.growerId, before, onWritten);
  const append = () =>
    underLock(tx, ctx.growerId, (head) =>
      chain(tx, ctx.growerId, decided, now, head, async () => {
        await saveChanges(tx, ctx.growerId, after);
        await decided.recording.writeVoids();
      }),
    );
  return { append };
}

/**
 * Takes entries back by corrections of one device, so that the log is locked only for its last step: the corrections are
 * decided and what they change is written first, seen by nobody before the transaction ends. Then the log is locked and the
 * corrections are chained behind its head.
 *
 * This is sound as long as nobody touched the things or corrected the entries meanwhile, which `append` asks once the log is
 * locked.
 * @param stillUntouched throws when something was recorded about the things since, or other entries stand than before
 * @throws AppError `rule-refused` when a correction is refused; the caller's transaction then keeps nothing
 */
export async function correctPast(
  tx: GrowerTx,
  ctx: GrowerContext & { readonly staffId: string },
  batch: PastBatch,
  now: Date,
  stillUntouched: () => Promise<void>,
): Promise<{ readonly append: () => Promise<BatchPlace> }> {
  const decided = await decide(tx, ctx, batch, now, await readHead(tx, ctx.growerId));
  const { recording } = decided;
  await saveChanges(tx, ctx.growerId, recording.changes);
  const append = () =>
    underLock(tx, ctx.growerId, async (head) => {
      await stillUntouched();
      return chain(tx, ctx.growerId, decided, now, head, () => recording.writeVoids());
    });
  return { append };
}

type Decided = Awaited<ReturnType<typeof decide>>;

/** Decides a batch unseen, as if it stood behind `head`. @throws AppError `rule-refused` when an entry is refused */
async function decide(
  tx: GrowerTx,
  ctx: GrowerContext & { readonly staffId: string },
  batch: PastBatch,
  now: Date,
  head: { readonly position: number; readonly headHash: string },
) {
  const lookups = await readLookups(tx, ctx.growerId, runIdsOf(batch));
  const entries = batch.entries.map((entry, at) => ({ ...entry, sequence: at + 1 }));
  const ids = entries.map(({ id }) => id);
  const { devices, stored } = await readSenders(tx, ctx.growerId, [batch.device], ids);
  const device = devices.get(batch.device.id)!;
  const incoming = { device: batch.device, clockOffsetMs: 0, trustMoments: true, entries };
  const admitted = admitBatch(incoming, device, new Map(stored.map((row) => [row.id, row.content_hash])));
  const prepared = prepareEntries(incoming, admitted, device, lookups, ctx, now);
  const recording = new Recording(tx, ctx.growerId, head, lookups);
  await recording.load(prepared, lookups);
  for (const entry of prepared) await recording.record(entry);
  requireApplied(recording);
  return { device, admitted, prepared, recording };
}

/** Chains what was decided behind the head of the locked log, with what must change in the same step. */
async function chain(
  tx: GrowerTx,
  growerId: string,
  { device, admitted, prepared, recording }: Decided,
  now: Date,
  head: CounterRow,
  changes: () => Promise<void>,
): Promise<number> {
  const reached = await recording.writeEntriesAfter(head);
  await changes();
  await saveHeads(tx, growerId, reached, [{ ...deviceAfter(device, admitted, prepared), seenAt: now }]);
  return reached.position;
}

/** Locks the log, or gives way to a tablet that holds it, and measures for how long. */
async function underLock(
  tx: GrowerTx,
  growerId: string,
  work: (head: CounterRow) => Promise<number>,
): Promise<BatchPlace> {
  await tx.$executeRawUnsafe(`SET LOCAL lock_timeout = '${LOCK_WAIT}'`);
  const head = await lockLog(tx, growerId);
  const lockedAt = performance.now();
  await tx.$executeRawUnsafe(`SET LOCAL lock_timeout = 0`);
  const lastPosition = await work(head);
  return { firstPosition: head.position + 1, lastPosition, lockedMs: Math.round(performance.now() - lockedAt) };
}

function runIdsOf({ entries }: PastBatch): string[] {
  return [...new Set(entries.map(({ payload }) => payload.runId).filter((id) => typeof id === 'string'))];
}

function requireApplied({ decided }: Recording): void {
  const refused = decided.find(({ outcome }) => outcome === 'refused');
  if (refused === undefined) return;
  const message = refusalMessage(refused.refusal_code ?? '', refused.details?.obstacles ?? []);
  throw new AppError('rule-refused', message, { reason: refused.refusal_code });
}

/** Lots and jars stand by themselves; harvests and draws hang on their entry, which has to be there first. */
function parted({ things, draws, forgetDrawsOf }: LedgerChanges): {
  readonly before: LedgerChanges['things'];
  readonly after: LedgerChanges;
} {
  const hangs = new Set(['harvest', 'pool']);
  return {
    before: things.filter(({ kind }) => !hangs.has(kind)),
    after: { things: things.filter(({ kind }) => hangs.has(kind)), draws, forgetDrawsOf },
  };
}

async function writeThings(
  tx: GrowerTx,
  growerId: string,
  things: LedgerChanges['things'],
  onWritten: (things: number) => Promise<void>,
): Promise<void> {
  const lotsFirst = [...things].sort((a, b) => Number(a.kind === 'jar') - Number(b.kind === 'jar'));
  for (let from = 0; from < lotsFirst.length; from += THINGS_PER_STATEMENT) {
    const part = lotsFirst.slice(from, from + THINGS_PER_STATEMENT);
    await saveChanges(tx, growerId, { things: part, draws: [], forgetDrawsOf: [] });
    await onWritten(from + part.length);
  }
}
