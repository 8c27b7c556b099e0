import { randomUUID } from 'node:crypto';
import type { CreatedGrower, NewGrower } from '@jarfold/contracts';
import { AppError, type PlatformDb, type PlatformTx } from '../platform/index.js';
import { emailKey } from './email-key.js';
import { findAccountByEmail, insertGrower } from './identity-repository.js';
import { hashPassword } from './password-hash.js';
import { judgePassword } from './password-rules.js';

/** A farm to make, with its owner's account. Shapes are checked by the contract before they come here. */
export type GrowerToCreate = NewGrower;

/**
 * Makes a farm with its owner, whole or not at all. Who may ask is the caller's matter: the set-up link, the operator's
 * token, an open server, or the launcher.
 * @throws AppError `invalid-input` for a password anyone would guess, `email-taken` for an address with an account.
 */
export async function createGrower(db: PlatformDb, grower: GrowerToCreate, now = new Date()): Promise<CreatedGrower> {
  const prepared = await prepareGrower(grower, now);
  return inOwnTransaction(db, prepared.growerId, (tx) => storeGrower(tx, prepared));
}

/** Two tries with one address can both find it free; the one the unique index stops is told the same as the late one. */
export async function inOwnTransaction<T>(
  db: PlatformDb,
  growerId: string,
  work: (tx: PlatformTx) => Promise<T>,
): Promise<T> {
  try {
    return await db.runForGrower(growerId, work);
  } catch (error) {
    if (error instanceof AppError && error.code === 'conflict') throw emailTaken('This e-mail address');
    throw error;
  }
}

function emailTaken(what: string): AppError {
  return new AppError(
    'email-taken',
    `${what} already has an account on this server: sign in with it, or use another address.`,
  );
}

export type PreparedGrower = Parameters<typeof insertGrower>[1];

/** Everything slow or refusable that needs no transaction: the rules, then the hash. */
export async function prepareGrower(grower: GrowerToCreate, now: Date): Promise<PreparedGrower> {
  requireGoodPassword(grower.password, { email: grower.email, farmName: grower.farmName }, '/password');
  return {
    growerId: randomUUID(),
    staffId: randomUUID(),
    accountId: randomUUID(),
    name: grower.farmName,
    timeZone: grower.timeZone,
    ownerName: grower.ownerName ?? grower.email.split('@')[0] ?? 'Owner',
    email: emailKey(grower.email),
    passwordHash: await hashPassword(grower.password),
    now,
  };
}

export async function storeGrower(tx: PlatformTx, rows: PreparedGrower): Promise<CreatedGrower> {
  if (await findAccountByEmail(tx, rows.email)) {
    throw emailTaken(rows.email);
  }
  await insertGrower(tx, rows);
  return { growerId: rows.growerId, ownerStaffId: rows.staffId };
}

/** @throws AppError `invalid-input` that points at the field. */
export function requireGoodPassword(
  password: string,
  own: { readonly email: string; readonly farmName: string },
  pointer: string,
): void {
  const verdict = judgePassword(password, own);
  if (verdict.ok) return;
  throw new AppError('invalid-input', 'The password is too easy to guess; nothing was changed.', {
    errors: [{ in: 'body', pointer, detail: verdict.reason }],
  });
}
