import type { ChangePassword, Role, SessionList, WhoAmI } from '@jarfold/contracts';
import { AppError, type GrowerContext, type PlatformDb, SharedTurns } from '../platform/index.js';
import { requireGoodPassword } from './grower-registration.js';
import {
  type AccountRow,
  clearThrottles,
  type FoundSession,
  findAccountById,
  findSessions,
  findStaffRow,
  openSessionsOf,
  revokeSessions,
  type SessionRow,
  type ShownTokens,
  type StaffRow,
  touchSession,
  updatePasswordHash,
} from './identity-repository.js';
import { hashPassword, passwordMatches } from './password-hash.js';
import { type SessionTimes, sessionEndsAtMs, sessionState, shouldTouch } from './session-lifetime.js';
import { hashOfToken, looksLikeToken } from './session-token.js';
import { SIGN_IN_POLICIES, throttleKey } from './sign-in-throttle.js';
import { admit } from './throttle-gate.js';

/** A grower context with a person behind it, as every request has. */
export interface StaffContext extends GrowerContext {
  readonly staffId: string;
  readonly role: Role;
}

/** Sessions that one statement looks up at most. */
const LOOK_UPS_TOGETHER = 100;

export interface ResolvedSession {
  readonly context: StaffContext;
  readonly sessionId: string;
  /** The enrolled tablet, for a sign-in by PIN, which gives fewer rights; null for one with a password. */
  readonly deviceId: string | null;
}

/** What a signed-in person can know and do about their own sessions. `clock` is the caller's, so that tests can move it. */
export class SessionService {
  /**
   * Every request asks, and those that come while an answer is under way share the next statement. An answer is never
   * older than its request: whoever was put out before a request came is out for it.
   */
  private readonly lookUps = new SharedTurns<ShownTokens, FoundSession | undefined>(
    {
      together: (_, shown) => this.db.single((tx) => findSessions(tx, shown)),
      alone: async (_, shown) => (await this.db.single((tx) => findSessions(tx, [shown])))[0],
      isOnesOwn: () => false,
      sizeOf: () => 1,
    },
    LOOK_UPS_TOGETHER,
  );

  constructor(
    private readonly db: PlatformDb,
    private readonly clock: () => Date = () => new Date(),
  ) {}

  /**
   * Whose session a token opens, now; undefined when it opens none. The role is read each time: a demotion works at once.
   * @param deviceToken what the browser shows as a tablet: a session by PIN is worth nothing without its own tablet's
   */
  async resolve(token: string, deviceToken?: string): Promise<ResolvedSession | undefined> {
    if (!looksLikeToken(token)) return undefined;
    const now = this.clock();
    const deviceTokenHash = deviceToken !== undefined && looksLikeToken(deviceToken) ? hashOfToken(deviceToken) : null;
    const found = await this.lookUps.run('', { tokenHash: hashOfToken(token), deviceTokenHash });
    if (!found?.active || sessionState(timesOf(found), now.getTime()) !== 'open') return undefined;
    const { sessionId, growerId, staffId, lastSeenAt, deviceId, deviceShown } = found;
    if (deviceId !== null && !deviceShown) return undefined;
    if (shouldTouch(lastSeenAt.getTime(), now.getTime())) {
      await this.db.single((tx) => touchSession(tx, sessionId, now));
    }
    // An owner's account is run with a password only.
    const role = deviceId !== null && found.role === 'owner' ? 'lead' : found.role;
    return { sessionId, deviceId, context: { growerId, staffId, role } };
  }

  /** @throws AppError `sign-in-required` when the session ended between the door and here. */
  async whoAmI(context: StaffContext, sessionId: string): Promise<WhoAmI> {
    const { session, account, staff } = await this.own(context, sessionId);
    return {
      staffId: context.staffId,
      name: staff.name,
      email: account?.email ?? null,
      role: context.role,
      by: session.deviceId === null ? 'password' : 'pin',
      deviceId: session.deviceId,
      farm: { growerId: context.growerId, name: staff.farmName, timeZone: staff.timeZone },
      session: { sessionId, endsAt: endsAt(session) },
    };
  }

  async list(context: StaffContext, currentSessionId: string): Promise<SessionList> {
    const now = this.clock();
    const rows = await this.db.run((tx) => openSessionsOf(tx, context.growerId, context.staffId, now));
    const open = rows.filter((row) => sessionState(timesOf(row), now.getTime()) === 'open');
    return {
      items: open.map((row) => ({
        sessionId: row.sessionId,
        current: row.sessionId === currentSessionId,
        startedAt: row.createdAt.toISOString(),
        lastUsedAt: row.lastSeenAt.toISOString(),
        endsAt: endsAt(row),
        device: row.userAgent,
      })),
    };
  }

  /**
   * Ends one session of the person's own, at once.
   * @throws AppError `not-found` for an unknown one, one of somebody else, or one that has ended.
   */
  async end(context: StaffContext, sessionId: string): Promise<void> {
    const { growerId, staffId } = context;
    const ended = await this.db.run((tx) =>
      revokeSessions(tx, { growerId, staffId }, { only: sessionId }, this.clock()),
    );
    if (ended === 0) throw new AppError('not-found', 'You have no open session with this id.');
  }

  /**
   * Changes the password and ends every other session of the person.
   * @throws AppError `wrong-credentials`, `invalid-input` (the new one), `too-many-sign-ins`.
   */
  async changePassword(context: StaffContext, sessionId: string, change: ChangePassword): Promise<void> {
    const now = this.clock();
    const { account, staff } = await this.own(context, sessionId);
    if (!account) throw new AppError('password-needed', 'Somebody without an account has no password to change.');
    const tries = throttleKey('password', context.staffId);
    await admit(this.db, [{ key: tries, policy: SIGN_IN_POLICIES.pair }], now);
    if (!(await passwordMatches(account.passwordHash, change.currentPassword))) {
      throw new AppError('wrong-credentials', 'The current password is not right; the password was not changed.', {
        errors: [{ in: 'body', pointer: '/currentPassword', detail: 'Not your password.' }],
      });
    }
    requireGoodPassword(change.newPassword, { email: account.email, farmName: staff.farmName }, '/newPassword');
    const passwordHash = await hashPassword(change.newPassword);
    await this.db.run(async (tx) => {
      await updatePasswordHash(tx, account.accountId, passwordHash);
      await clearThrottles(tx, [tries]);
      const { growerId, staffId } = context;
      await revokeSessions(tx, { growerId, staffId }, { allBut: sessionId }, now);
    });
  }

  /** The session with the staff member behind it and, unless it was opened with a PIN, the account. */
  private async own(context: StaffContext, sessionId: string): Promise<OwnRows> {
    const now = this.clock();
    const rows = await this.db.run(async (tx) => {
      const open = await openSessionsOf(tx, context.growerId, context.staffId, now);
      const session = open.find((row) => row.sessionId === sessionId);
      const account = session?.accountId ? await findAccountById(tx, session.accountId) : null;
      const staff = await findStaffRow(tx, context.growerId, context.staffId);
      return session && staff ? { session, account, staff } : null;
    });
    if (!rows) throw ended();
    return rows;
  }
}

interface OwnRows {
  readonly session: SessionRow;
  readonly account: AccountRow | null;
  readonly staff: StaffRow;
}

function timesOf({
  lastSeenAt,
  expiresAt,
  revokedAt,
  deviceId,
}: Pick<SessionRow, 'lastSeenAt' | 'expiresAt' | 'revokedAt' | 'deviceId'>): SessionTimes {
  return {
    lastSeenAtMs: lastSeenAt.getTime(),
    expiresAtMs: expiresAt.getTime(),
    revokedAtMs: revokedAt?.getTime() ?? null,
    byPin: deviceId !== null,
  };
}

function endsAt(row: SessionRow): string {
  return new Date(sessionEndsAtMs(timesOf(row))).toISOString();
}

function ended(): AppError {
  return new AppError('sign-in-required', 'The session has ended: sign in again.');
}
