import { hash, verify } from '@node-rs/argon2';

/**
 * argon2id with 19 MiB, 2 passes, 1 lane: the least that ASVS 5.0 (appendix C) and the OWASP password storage sheet
 * name for 2 passes. Measured at about 20 ms here; raising it later re-hashes nobody until they sign in again.
 */
const ARGON2ID = 2; // the package's own enum is erased when files are compiled one by one
const PARAMETERS = { algorithm: ARGON2ID, memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

/** Hashing takes a whole core: two at a time leaves the other threads to the database and to tablets that sync. */
const AT_ONCE = 2;
let running = 0;
const waiting: (() => void)[] = [];

async function inTurn<T>(work: () => Promise<T>): Promise<T> {
  if (running >= AT_ONCE) await new Promise<void>((resume) => waiting.push(resume));
  else running += 1;
  try {
    return await work();
  } finally {
    const next = waiting.shift();
    if (next) next();
    else running -= 1;
  }
}

/** The stored form of a password, with its salt and parameters (PHC string). Unicode is compared in form NFC. */
export function hashPassword(password: string): Promise<string> {
  return inTurn(() => hash(password.normalize('NFC'), PARAMETERS));
}

/** A hash nobody's password matches, to spend the same time on an unknown address as on a known one. */
let decoy: Promise<string> | undefined;

/** Whether the password matches; with no stored hash it takes as long and answers no. */
export async function passwordMatches(storedHash: string | undefined, password: string): Promise<boolean> {
  decoy ??= hashPassword(`nobody ${Math.random()}`);
  const against = storedHash ?? (await decoy);
  const matches = await inTurn(() => verify(against, password.normalize('NFC')));
  return matches && storedHash !== undefined;
}
