import { createHash, randomBytes } from 'node:crypto';

/** 256 bits: twice what ASVS 5.0 item 7.2.3 asks of a session token, and beyond any guessing. */
const TOKEN_BYTES = 32;
const TOKEN_SHAPE = /^[A-Za-z0-9_-]{43}$/;

/** A secret for a cookie or a link, in base64url. The database only ever holds its hash. */
export function newSecretToken(): string {
  return randomBytes(TOKEN_BYTES).toString('base64url');
}

/**
 * What is stored and looked up. A plain SHA-256 is enough here: the token has full entropy, so there is nothing to slow
 * a guesser down for.
 */
export function hashOfToken(token: string): Uint8Array<ArrayBuffer> {
  return new Uint8Array(createHash('sha256').update(token, 'utf8').digest());
}

/** Whether the text can be a token of ours at all; anything else is not worth a query. */
export function looksLikeToken(text: string): boolean {
  return TOKEN_SHAPE.test(text);
}
