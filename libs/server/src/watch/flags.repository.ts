import { randomUUID } from 'node:crypto';
import type { Flag, FlagChanges } from '@jarfold/domain';
import { dayFromColumn, dayToColumn, type GrowerTx } from '../platform/index.js';

export interface FlagRow extends Flag {
  readonly id: string;
  readonly raisedAt: Date;
  readonly seen: { readonly at: Date; readonly by: string | null } | null;
}

/** Flags whose cause still stands, newest first. */
export async function standingFlags(tx: GrowerTx, growerId: string): Promise<FlagRow[]> {
  const rows = await tx.watchFlag.findMany({
    where: { growerId, settledAt: null },
    orderBy: [{ raisedAt: 'desc' }, { cause: 'asc' }],
    include: SEER,
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
    include: SEER,
  });
  return rows.map((row) => ({ ...flagFromRow(row), settledAt: row.settledAt! }));
}

/**
 * Marks a standing flag as seen, or as not seen again. Whoever marked it first stays named.
 * @returns the flag, or null when no such flag stands
 */
export async function markFlag(
  tx: GrowerTx,
  growerId: string,
  id: string,
  seen: { readonly at: Date; readonly by: string | null } | null,
): Promise<FlagRow | null> {
  await tx.watchFlag.updateMany({
    where: { growerId, id, settledAt: null, ...(seen === null ? {} : { seenAt: null }) },
    data: { seenAt: seen?.at ?? null, seenBy: seen?.by ?? null },
  });
  const row = await tx.watchFlag.findFirst({ where: { growerId, id, settledAt: null }, include: SEER });
  return row === null ? null : flagFromRow(row);
}

const SEER = { seer: { select: { name: { select: { name: true } } } } } as const;

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
  readonly seenAt: Date | null;
  readonly seer: { readonly name: { readonly name: string } | null } | null;
}

const flagFromRow = ({
  id,
  cause,
  kind,
  what,
  codes,
  why,
  action,
  since,
  raisedAt,
  seenAt,
  seer,
}: StoredFlag): FlagRow => ({
  ...{ id, cause, what, why, action, raisedAt, where: codes },
  seen: seenAt === null ? null : { at: seenAt, by: seer?.name?.name ?? null },
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
    // Raised anew it is news, whoever saw it the last time.
    const columns = {
      ...{ ...wordsOf(words), since: dayToColumn(since), raisedAt: now },
      ...{ settledAt: null, seenAt: null, seenBy: null },
    };
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
