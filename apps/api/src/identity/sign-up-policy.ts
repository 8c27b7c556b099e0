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

  /**
   * Lets a request for a further farm pass. The operator may add as many as it likes; everybody else is counted, since
   * each try is a guess or costs a password hash.
   * @throws AppError `sign-up-closed`, `operator-token-required`, `too-many-sign-ins`.
   */
  async admit(authorization: string | undefined, address: string): Promise<void> {
    if (this.signUp.mode === 'open') return this.countTry(address);
    const { operatorToken } = this.signUp;
    if (operatorToken === null) {
      throw new AppError(
        'sign-up-closed',
        'This server takes no new farms: its operator set neither a token nor open sign-up.',
      );
    }
    if (isBearer(authorization, operatorToken)) return;
    await this.countTry(address);
    throw new AppError('operator-token-required', 'The operator token is missing or is not the right one.');
  }

  /** @throws AppError `too-many-sign-ins`. */
  countTry(address: string): Promise<void> {
    return countTokenTry(this.db, address);
  }
}

function isBearer(authorization: string | undefined, token: string): boolean {
  const given = /^Bearer +(\S+)$/i.exec(authorization ?? '')?.[1];
  return given !== undefined && sameSecret(given, token);
}

/** Compares digests, so that neither length nor content shows in the time it takes. */
function sameSecret(a: string, b: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text, 'utf8').digest();
  return timingSafeEqual(digest(a), digest(b));
}
