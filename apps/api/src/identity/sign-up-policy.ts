import { createHash, timingSafeEqual } from 'node:crypto';
import { countTokenTry } from '@jarfold/server';
import { AppError, type PlatformDb } from '@jarfold/server/platform';

export type SignUp = { readonly mode: 'open' } | { readonly mode: 'closed'; readonly operatorToken: string | null };

/** Who may add a farm to this server: anyone, the holder of the operator's token, or nobody. */
export class SignUpPolicy {
  constructor(
    private readonly db: PlatformDb,
    private readonly signUp: SignUp,
  ) {}

  /** @throws AppError `too-many-sign-ins`: each try costs a password hash, also an allowed one. */
  countTry(address: string): Promise<void> {
    return countTokenTry(this.db, address);
  }

  /** @throws AppError `sign-up-closed` or `operator-token-required`. */
  requireAllowed(authorization: string | undefined): void {
    if (this.signUp.mode === 'open') return;
    const { operatorToken } = this.signUp;
    if (operatorToken === null) {
      throw new AppError(
        'sign-up-closed',
        'This server takes no new farms: its operator set neither a token nor open sign-up.',
      );
    }
    const given = /^Bearer +(\S+)$/i.exec(authorization ?? '')?.[1];
    if (given === undefined || !sameSecret(given, operatorToken)) {
      throw new AppError('operator-token-required', 'The operator token is missing or is not the right one.');
    }
  }
}

/** Compares digests, so that neither length nor content shows in the time it takes. */
function sameSecret(a: string, b: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text, 'utf8').digest();
  return timingSafeEqual(digest(a), digest(b));
}
