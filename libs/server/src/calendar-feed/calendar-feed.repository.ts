import type { GrowerTx } from '../platform/index.js';

export interface CalendarFeedRow {
  readonly id: string;
  readonly name: string;
  readonly staffId: string | null;
  readonly createdAt: Date;
  readonly revokedAt: Date | null;
}

const HEAD = { id: true, name: true, staffId: true, createdAt: true, revokedAt: true } as const;

/** Feeds of the farm, and those of one person. */
export async function listFeeds(tx: GrowerTx, growerId: string, staffId: string | null): Promise<CalendarFeedRow[]> {
  return tx.calendarFeed.findMany({
    where: { growerId, OR: [{ staffId: null }, { staffId }] },
    select: HEAD,
    orderBy: [{ createdAt: 'desc' }, { id: 'asc' }],
    take: 100,
  });
}

export async function insertFeed(
  tx: GrowerTx,
  growerId: string,
  feed: CalendarFeedRow & { readonly tokenHash: Uint8Array<ArrayBuffer> },
): Promise<void> {
  await tx.calendarFeed.create({ data: { growerId, ...feed } });
}

export async function findFeed(tx: GrowerTx, growerId: string, id: string): Promise<CalendarFeedRow | null> {
  return tx.calendarFeed.findUnique({ where: { growerId_id: { growerId, id } }, select: HEAD });
}

export async function revokeFeed(tx: GrowerTx, growerId: string, id: string, revokedAt: Date): Promise<void> {
  await tx.calendarFeed.update({ where: { growerId_id: { growerId, id } }, data: { revokedAt } });
}

/** The standing feed of a secret, with the role of its person; null when revoked, unknown, or its person has left. */
export async function feedOfSecret(
  tx: GrowerTx,
  growerId: string,
  tokenHash: Uint8Array<ArrayBuffer>,
): Promise<(CalendarFeedRow & { readonly role: string | null }) | null> {
  const row = await tx.calendarFeed.findFirst({
    where: { growerId, tokenHash, revokedAt: null },
    select: { ...HEAD, staff: { select: { role: true, active: true } } },
  });
  if (row === null || row.staff?.active === false) return null;
  const { staff, ...feed } = row;
  return { ...feed, role: staff?.role ?? null };
}
