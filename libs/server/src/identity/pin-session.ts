import { randomUUID } from 'node:crypto';
import type { PlatformDb } from '../platform/index.js';
import { insertSession } from './identity-repository.js';
import { PIN_SESSION_ABSOLUTE_MS } from './session-lifetime.js';
import { hashOfToken, newSecretToken } from './session-token.js';
import type { OpenedSession } from './sign-in-service.js';

/** Opens a session for somebody whose PIN was right; it works only together with the tablet's own token. */
export async function openPinSession(
  db: PlatformDb,
  on: {
    readonly growerId: string;
    readonly staffId: string;
    readonly deviceId: string;
    readonly userAgent: string | null;
    readonly now: Date;
  },
): Promise<OpenedSession> {
  const token = newSecretToken();
  const sessionId = randomUUID();
  const expiresAt = new Date(on.now.getTime() + PIN_SESSION_ABSOLUTE_MS);
  const userAgent = on.userAgent?.slice(0, 200) ?? null;
  const session = { ...on, sessionId, tokenHash: hashOfToken(token), accountId: null, expiresAt, userAgent };
  await db.run((tx) => insertSession(tx, session));
  return { token, sessionId };
}
