import { randomUUID } from 'node:crypto';
import type { Flag, FlagChanges } from '@jarfold/domain';
import { dayFromColumn, dayToColumn, type GrowerTx } from '../platform/index.js';

export interface FlagRow extends Flag {
  readonly id: string;
  readonly raisedAt: Date;
}

/** Flags whose cause still stands, newest first. */
export async function standingFlags(tx: GrowerTx, growerId: string): Promise<FlagRow[]> {
  const rows = await tx.watchFlag.findMany({
    where: { growerId, settledAt: null },
    orderBy: [{ raisedAt: 'desc' }, { cause: 'asc' }],
  });
  return rows.map(flagFromRow);
}

/** Flags whose cause went away since a moment and is gone still, the last to go first. */
export async function settledFlags(
  tx: GrowerTx,
  growerId: string,
  since: Date,
): Promise<(FlagRow & { readonly settledAt: Date })[]> {
  const rows = await tx.watchFlag.findMany({
    where: { growerId, settledAt: { gte: since } },
    orderBy: [{ settledAt: 'desc' }, { cause: 'asc' }],
  });
  return rows.map((row) => ({ ...flagFromRow(row), settledAt: row.settledAt! }));
}

interface StoredFlag {
  readonly id: string;
  readonly cause: string;
  readonly kind: string;
  readonly what: string;
  readonly codes: string[];
  readonly why: string;
  readonly action: string;
  readonly since: Date;
  readonly raisedAt: Date;
}

const flagFromRow = ({ id, cause, kind, what, codes, why, action, since, raisedAt }: StoredFlag): FlagRow => ({
  ...{ id, cause, what, why, action, raisedAt, where: codes },
  kind: kind as Flag['kind'],
  since: dayFromColumn(since),
});

/** Causes that settled after a moment and do not stand again. */
export async function causesSettledSince(tx: GrowerTx, growerId: string, since: Date): Promise<string[]> {
  const rows = await tx.watchFlag.findMany({ where: { growerId, settledAt: { gte: since } }, select: { cause: true } });
  return rows.map(({ cause }) => cause);
}

/** Two watches of one farm take turns, so that a cause is not raised twice. */
export async function lockFlags(tx: GrowerTx, growerId: string): Promise<void> {
  await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended('watch:' || ${growerId}, 0))`;
}

export async function saveFlags(
  tx: GrowerTx,
  growerId: string,
  { raise, keep, back, settle }: FlagChanges,
  now: Date,
): Promise<void> {
  for (const flag of raise) {
    const { cause, since, ...words } = flag;
    const columns = { ...wordsOf(words), since: dayToColumn(since), raisedAt: now, settledAt: null };
    await tx.watchFlag.upsert({
      where: { growerId_cause: { growerId, cause } },
      create: { growerId, id: randomUUID(), cause, ...columns },
      update: columns,
    });
  }
  for (const { cause, since: _since, ...words } of keep)
    await tx.watchFlag.update({ where: { growerId_cause: { growerId, cause } }, data: wordsOf(words) });
  for (const { cause, since: _since, ...words } of back)
    await tx.watchFlag.update({
      where: { growerId_cause: { growerId, cause } },
      data: { ...wordsOf(words), settledAt: null },
    });
  await tx.watchFlag.updateMany({
    where: { growerId, cause: { in: [...settle] }, settledAt: null },
    data: { settledAt: now },
  });
}

function wordsOf({ kind, what, where, why, action }: Omit<Flag, 'cause' | 'since'>) {
  return { kind, what, codes: [...where], why, action };
}
