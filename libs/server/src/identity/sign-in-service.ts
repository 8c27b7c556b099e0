import { randomUUID } from 'node:crypto';
import type { SignIn } from '@jarfold/contracts';
import { AppError, type PlatformDb } from '../platform/index.js';
import { emailKey } from './email-key.js';
import {
  clearThrottles,
  deleteEndedBefore,
  findAccountByEmail,
  insertSession,
  membershipsOf,
  takeBackTry,
} from './identity-repository.js';
import { networkOf } from './network-of.js';
import { passwordMatches } from './password-hash.js';
import { SESSION_ABSOLUTE_MS } from './session-lifetime.js';
import { hashOfToken, newSecretToken } from './session-token.js';
import { SIGN_IN_POLICIES, throttleKey } from './sign-in-throttle.js';
import { admit } from './throttle-gate.js';

/** Where a try comes from: for the throttle and for the person's own list of sessions. */
export interface Caller {
  readonly address: string;
  readonly userAgent: string | null;
}

export interface OpenedSession {
  readonly token: string;
  readonly sessionId: string;
}

/**
 * Checks an address and password and opens a session with a token made for it, never one the browser brought along.
 * @throws AppError `too-many-sign-ins` while a pause runs; `wrong-credentials` alike for an unknown address, a wrong
 *   password, a disabled account and an account without a farm.
 */
export async function signIn(
  db: PlatformDb,
  attempt: SignIn,
  caller: Caller,
  now = new Date(),
): Promise<OpenedSession> {
  const email = emailKey(attempt.email);
  const network = networkOf(caller.address);
  const keys = {
    pair: throttleKey('pair', email, network),
    account: throttleKey('account', email),
    address: throttleKey('address', network),
  };
  await admit(
    db,
    [
      { key: keys.pair, policy: SIGN_IN_POLICIES.pair },
      { key: keys.account, policy: SIGN_IN_POLICIES.account },
      { key: keys.address, policy: SIGN_IN_POLICIES.address },
    ],
    now,
  );
  const account = await db.run((tx) => findAccountByEmail(tx, email));
  const matches = await passwordMatches(account?.passwordHash, attempt.password);
  if (!account || !matches || account.disabled) throw wrongCredentials();
  return db.run(async (tx) => {
    const staff = (await membershipsOf(tx, account.accountId)).find(({ active }) => active);
    if (!staff) throw wrongCredentials();
    await clearThrottles(tx, [keys.pair, keys.account]);
    await takeBackTry(tx, keys.address);
    await deleteEndedBefore(tx, new Date(now.getTime() - KEEP_ENDED_MS));
    const token = newSecretToken();
    const sessionId = randomUUID();
    await insertSession(tx, {
      sessionId,
      tokenHash: hashOfToken(token),
      accountId: account.accountId,
      growerId: staff.growerId,
      staffId: staff.staffId,
      now,
      expiresAt: new Date(now.getTime() + SESSION_ABSOLUTE_MS),
      userAgent: caller.userAgent?.slice(0, 200) ?? null,
    });
    return { token, sessionId };
  });
}

/** Ended sessions stay a while, so that somebody can be told where they had been signed in. */
const KEEP_ENDED_MS = 30 * 86_400_000;

function wrongCredentials(): AppError {
  return new AppError('wrong-credentials', 'No account has this e-mail address and password together.');
}
