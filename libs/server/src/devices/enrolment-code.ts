import { createHash, randomInt } from 'node:crypto';
import { ENROLMENT_ALPHABET, ENROLMENT_CODE_LENGTH } from '@jarfold/contracts';

/**
 * A one-time code that a person reads from one screen and types on another. Eight of 29 signs hold 38.8 bits: with one
 * use, a quarter of an hour and counted tries nobody guesses one.
 */
export function newEnrolmentCode(): string {
  const signs = Array.from({ length: ENROLMENT_CODE_LENGTH }, () =>
    ENROLMENT_ALPHABET.charAt(randomInt(ENROLMENT_ALPHABET.length)),
  );
  return signs.join('');
}

/** In two groups, as it is easier to read and type. */
export function readableCode(code: string): string {
  return `${code.slice(0, ENROLMENT_CODE_LENGTH / 2)}-${code.slice(ENROLMENT_CODE_LENGTH / 2)}`;
}

/** Stored and looked up; bound to its purpose, so that no other hash of the service can stand in for it. */
export function hashOfCode(code: string): Uint8Array<ArrayBuffer> {
  return new Uint8Array(createHash('sha256').update(`device-enrolment:${code}`, 'utf8').digest());
}
