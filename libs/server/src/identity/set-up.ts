import type { CreatedGrower, SetUp } from '@jarfold/contracts';
import { AppError, type PlatformDb } from '../platform/index.js';
import { inOwnTransaction, prepareGrower, storeGrower } from './grower-registration.js';
import { growerCount, insertSetupToken, useSetupToken } from './identity-repository.js';
import { hashOfToken, looksLikeToken, newSecretToken } from './session-token.js';

const SETUP_TOKEN_MS = 86_400_000;

/** Whether this server has no farm yet. */
export function setUpNeeded(db: PlatformDb): Promise<boolean> {
  return db.run(async (tx) => (await growerCount(tx)) === 0);
}

/**
 * For whoever starts the server: the token that lets one person make the first farm, good for a day and one use. Each
 * start makes a new one and the earlier ones stop working. Null when a farm exists. Print it on the console only, in an
 * address's fragment (`/set-up#<token>`), which browsers do not send to servers.
 */
export function issueSetUpToken(db: PlatformDb, now = new Date()): Promise<string | null> {
  return db.run(async (tx) => {
    if ((await growerCount(tx)) > 0) return null;
    const token = newSecretToken();
    await insertSetupToken(tx, {
      tokenHash: hashOfToken(token),
      now,
      expiresAt: new Date(now.getTime() + SETUP_TOKEN_MS),
    });
    return token;
  });
}

/**
 * Makes the first farm. The token is used up in the same transaction, so that a failure leaves it good.
 * @throws AppError `already-set-up`, `setup-token-refused`, `invalid-input` (password), `email-taken`.
 */
export async function setUpFirstGrower(db: PlatformDb, request: SetUp, now = new Date()): Promise<CreatedGrower> {
  if (!looksLikeToken(request.token)) throw refusedToken();
  const { token, ...grower } = request;
  await requireUsable(db);
  const rows = await prepareGrower(grower, now);
  return inOwnTransaction(db, rows.growerId, async (tx) => {
    if (!(await useSetupToken(tx, hashOfToken(token), now))) throw refusedToken();
    if ((await growerCount(tx)) > 0) throw alreadySetUp();
    return storeGrower(tx, rows);
  });
}

/** Spares the costly password hash where the answer is known to be no. */
async function requireUsable(db: PlatformDb): Promise<void> {
  if (!(await setUpNeeded(db))) throw alreadySetUp();
}

function refusedToken(): AppError {
  return new AppError(
    'setup-token-refused',
    'This set-up link was used, is older than a day, or is not complete: start Jarfold again for a new one.',
  );
}

function alreadySetUp(): AppError {
  return new AppError('already-set-up', 'A farm exists on this server: sign in with its owner account.');
}
