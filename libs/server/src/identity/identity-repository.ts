import type { Role } from '@jarfold/contracts';
import type { PlatformTx } from '../platform/index.js';
import type { ThrottleState } from './sign-in-throttle.js';

/** An account with the one farm it signs in to. */
export interface AccountRow {
  readonly accountId: string;
  readonly email: string;
  readonly passwordHash: string;
  readonly disabled: boolean;
}

export interface StaffRow {
  readonly growerId: string;
  readonly staffId: string;
  readonly role: Role;
  readonly active: boolean;
  readonly name: string;
  readonly farmName: string;
  readonly timeZone: string;
}

export interface SessionRow {
  readonly sessionId: string;
  readonly accountId: string | null;
  readonly growerId: string;
  readonly staffId: string;
  readonly createdAt: Date;
  readonly lastSeenAt: Date;
  readonly expiresAt: Date;
  readonly revokedAt: Date | null;
  readonly userAgent: string | null;
  /** The enrolled tablet, for a sign-in by PIN. */
  readonly deviceId: string | null;
}

export interface NewSession {
  readonly sessionId: string;
  readonly tokenHash: Uint8Array<ArrayBuffer>;
  readonly accountId: string | null;
  readonly growerId: string;
  readonly staffId: string;
  readonly now: Date;
  readonly expiresAt: Date;
  readonly userAgent: string | null;
  readonly deviceId?: string;
}

export async function findAccountByEmail(tx: PlatformTx, email: string): Promise<AccountRow | null> {
  const row = await tx.account.findUnique({ where: { email } });
  return row && toAccount(row);
}

export async function findAccountById(tx: PlatformTx, id: string): Promise<AccountRow | null> {
  const row = await tx.account.findUnique({ where: { id } });
  return row && toAccount(row);
}

function toAccount(row: { id: string; email: string; passwordHash: string; disabledAt: Date | null }): AccountRow {
  return { accountId: row.id, email: row.email, passwordHash: row.passwordHash, disabled: row.disabledAt !== null };
}

/** The farms an account belongs to, the oldest membership first. */
export async function membershipsOf(tx: PlatformTx, accountId: string): Promise<StaffRow[]> {
  const rows = await tx.membership.findMany({
    where: { accountId },
    orderBy: { createdAt: 'asc' },
    include: { grower: true, staff: { include: { name: true } } },
  });
  return rows.map(({ grower, staff }) => ({
    growerId: grower.id,
    staffId: staff.id,
    role: staff.role as Role,
    active: staff.active,
    name: staff.name?.name ?? '',
    farmName: grower.name,
    timeZone: grower.timeZone,
  }));
}

/** One person of one farm, whether or not they have an account. */
export async function findStaffRow(tx: PlatformTx, growerId: string, staffId: string): Promise<StaffRow | null> {
  const row = await tx.staff.findUnique({
    where: { growerId_id: { growerId, id: staffId } },
    include: { grower: true, name: true },
  });
  if (!row) return null;
  const { grower, name, role, active } = row;
  const farm = { farmName: grower.name, timeZone: grower.timeZone };
  return { growerId, staffId, role: role as Role, active, name: name?.name ?? '', ...farm };
}

/** Staff of a farm who can sign in with an address and a password. */
export async function staffWithAccounts(tx: PlatformTx, growerId: string): Promise<ReadonlySet<string>> {
  const rows = await tx.membership.findMany({ where: { growerId }, select: { staffId: true } });
  return new Set(rows.map(({ staffId }) => staffId));
}

/** Ends somebody's sign-ins: all, or those by PIN. */
export async function endSessionsOf(
  tx: PlatformTx,
  who: { readonly growerId: string; readonly staffId: string },
  which: 'all' | 'by-pin',
  now: Date,
): Promise<void> {
  const byPin = which === 'by-pin' ? { deviceId: { not: null } } : {};
  await tx.session.updateMany({ where: { ...who, ...byPin, revokedAt: null }, data: { revokedAt: now } });
}

export async function insertSession(tx: PlatformTx, session: NewSession): Promise<void> {
  const { sessionId, now, ...rest } = session;
  await tx.session.create({ data: { id: sessionId, createdAt: now, lastSeenAt: now, ...rest } });
}

/** A session as the door needs it: every request asks, so it is one statement. */
export interface FoundSession {
  readonly sessionId: string;
  readonly growerId: string;
  readonly staffId: string;
  readonly lastSeenAt: Date;
  readonly expiresAt: Date;
  readonly revokedAt: Date | null;
  readonly deviceId: string | null;
  /** The role its staff member has now. */
  readonly role: Role;
  /** Neither the person nor their account was put out of use. */
  readonly active: boolean;
  /** The tablet's token that was shown is that of the session's device. */
  readonly deviceShown: boolean;
}

/** Hashes of what a request shows. */
export interface ShownTokens {
  readonly tokenHash: Uint8Array;
  /** Of the token a tablet shows; null for none. */
  readonly deviceTokenHash: Uint8Array | null;
}

/** The sessions behind tokens, in the order they were asked for. */
export async function findSessions(
  tx: PlatformTx,
  asked: readonly ShownTokens[],
): Promise<readonly (FoundSession | undefined)[]> {
  const hex = (hash: Uint8Array | null) => (hash === null ? '' : Buffer.from(hash).toString('hex'));
  const tokens = asked.map(({ tokenHash }) => hex(tokenHash));
  const devices = asked.map(({ deviceTokenHash }) => hex(deviceTokenHash));
  const rows = await tx.$queryRaw<(FoundSession & { readonly asked: number })[]>`
    SELECT asked.place::int AS asked, s.id::text AS "sessionId", s.grower_id::text AS "growerId",
      s.staff_id::text AS "staffId", s.last_seen_at AS "lastSeenAt", s.expires_at AS "expiresAt",
      s.revoked_at AS "revokedAt", s.device_id::text AS "deviceId", p.role::text AS role,
      p.active AND a.disabled_at IS NULL AS active,
      EXISTS (SELECT FROM device_token t WHERE t.token_hash = decode(asked.device, 'hex')
        AND t.grower_id = s.grower_id AND t.device_id = s.device_id) AS "deviceShown"
    FROM unnest(${tokens}::text[], ${devices}::text[]) WITH ORDINALITY AS asked (token, device, place)
    JOIN session s ON s.token_hash = decode(asked.token, 'hex')
    JOIN staff p ON p.grower_id = s.grower_id AND p.id = s.staff_id
    LEFT JOIN account a ON a.id = s.account_id`;
  const found = new Map(rows.map(({ asked: place, ...session }) => [place, session]));
  return asked.map((_, at) => found.get(at + 1));
}

export async function openSessionsOf(
  tx: PlatformTx,
  growerId: string,
  staffId: string,
  now: Date,
): Promise<SessionRow[]> {
  const rows = await tx.session.findMany({
    where: { growerId, staffId, revokedAt: null, expiresAt: { gt: now } },
    orderBy: { lastSeenAt: 'desc' },
  });
  return rows.map(toSession);
}

function toSession(row: { id: string } & Omit<SessionRow, 'sessionId'>): SessionRow {
  const { accountId, growerId, staffId, createdAt, lastSeenAt, expiresAt, revokedAt, userAgent, deviceId } = row;
  const session = { accountId, growerId, staffId, createdAt, lastSeenAt, expiresAt, revokedAt, userAgent, deviceId };
  return { sessionId: row.id, ...session };
}

export async function touchSession(tx: PlatformTx, sessionId: string, now: Date): Promise<void> {
  await tx.session.updateMany({ where: { id: sessionId, lastSeenAt: { lt: now } }, data: { lastSeenAt: now } });
}

/** Ends sessions of one staff member: one, or all but one. Answers how many it ended. */
export async function revokeSessions(
  tx: PlatformTx,
  owner: { readonly growerId: string; readonly staffId: string },
  which: { readonly only: string } | { readonly allBut: string },
  now: Date,
): Promise<number> {
  const id = 'only' in which ? which.only : { not: which.allBut };
  const { count } = await tx.session.updateMany({ where: { ...owner, id, revokedAt: null }, data: { revokedAt: now } });
  return count;
}

export async function updatePasswordHash(tx: PlatformTx, accountId: string, passwordHash: string): Promise<void> {
  await tx.account.update({ where: { id: accountId }, data: { passwordHash } });
}

/** Reads the counters under a row lock, making missing rows first, so that tries sent side by side queue up here. */
export async function lockThrottles(
  tx: PlatformTx,
  keys: readonly string[],
  now: Date,
): Promise<Map<string, ThrottleState>> {
  const ordered = [...keys].sort();
  await tx.signInThrottle.createMany({
    data: ordered.map((key) => ({ key, failures: 0, windowStartedAt: now, lockedUntil: null })),
    skipDuplicates: true,
  });
  const rows = await tx.$queryRaw<
    { key: string; failures: number; window_started_at: Date; locked_until: Date | null }[]
  >`
    SELECT key, failures, window_started_at, locked_until FROM sign_in_throttle
    WHERE key = ANY(${ordered}) ORDER BY key FOR UPDATE`;
  return new Map(
    rows.map((row) => [
      row.key,
      {
        failures: row.failures,
        windowStartedAtMs: row.window_started_at.getTime(),
        lockedUntilMs: row.locked_until?.getTime() ?? null,
      },
    ]),
  );
}

export async function saveThrottle(tx: PlatformTx, key: string, state: ThrottleState): Promise<void> {
  await tx.signInThrottle.update({
    where: { key },
    data: {
      failures: state.failures,
      windowStartedAt: new Date(state.windowStartedAtMs),
      lockedUntil: state.lockedUntilMs === null ? null : new Date(state.lockedUntilMs),
    },
  });
}

/** A success forgets the failures of this account. */
export async function clearThrottles(tx: PlatformTx, keys: readonly string[]): Promise<void> {
  await tx.signInThrottle.deleteMany({ where: { key: { in: [...keys] } } });
}

/** Takes back one counted try: it turned out to be no failure. Earlier failures stay counted. */
export async function takeBackTry(tx: PlatformTx, key: string): Promise<void> {
  await tx.signInThrottle.updateMany({
    where: { key, failures: { gt: 0 } },
    data: { failures: { decrement: 1 }, lockedUntil: null },
  });
}

/** Clears away what is of no use to anyone: sessions past their last day, and counts of tries long forgotten. */
export async function deleteEndedBefore(tx: PlatformTx, before: Date): Promise<void> {
  await tx.session.deleteMany({ where: { expiresAt: { lt: before } } });
  await tx.signInThrottle.deleteMany({ where: { windowStartedAt: { lt: before } } });
}

export async function growerCount(tx: PlatformTx): Promise<number> {
  return tx.grower.count();
}

export interface NewGrowerRows {
  readonly growerId: string;
  readonly staffId: string;
  readonly accountId: string;
  readonly name: string;
  readonly timeZone: string;
  readonly ownerName: string;
  readonly email: string;
  readonly passwordHash: string;
  readonly now: Date;
}

/** A farm with its log's counter and its settings, its owner as staff, the owner's account and the tie between them: all or none. */
export async function insertGrower(tx: PlatformTx, rows: NewGrowerRows): Promise<void> {
  const { growerId, staffId, accountId, now } = rows;
  await tx.grower.create({ data: { id: growerId, name: rows.name, timeZone: rows.timeZone, createdAt: now } });
  await tx.benchCounter.create({ data: { growerId } });
  await tx.farmSettings.create({ data: { growerId } });
  await tx.staff.create({ data: { growerId, id: staffId, role: 'owner', createdAt: now } });
  await tx.staffName.create({ data: { growerId, staffId, name: rows.ownerName } });
  await tx.account.create({
    data: { id: accountId, email: rows.email, passwordHash: rows.passwordHash, createdAt: now },
  });
  await tx.membership.create({ data: { accountId, growerId, staffId, createdAt: now } });
}

export async function insertSetupToken(
  tx: PlatformTx,
  token: { readonly tokenHash: Uint8Array<ArrayBuffer>; readonly now: Date; readonly expiresAt: Date },
): Promise<void> {
  await tx.setupToken.deleteMany({ where: { usedAt: null } });
  await tx.setupToken.create({
    data: { tokenHash: token.tokenHash, createdAt: token.now, expiresAt: token.expiresAt },
  });
}

/** Uses a token up; false when it is unknown, used or expired. One statement, so two tries cannot both succeed. */
export async function useSetupToken(tx: PlatformTx, tokenHash: Uint8Array<ArrayBuffer>, now: Date): Promise<boolean> {
  const { count } = await tx.setupToken.updateMany({
    where: { tokenHash, usedAt: null, expiresAt: { gt: now } },
    data: { usedAt: now },
  });
  return count === 1;
}
