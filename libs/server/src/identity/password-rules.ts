import { PASSWORD_MIN_LENGTH } from '@jarfold/contracts';
import common from '@zxcvbn-ts/language-common';

export type PasswordVerdict = { readonly ok: true } | { readonly ok: false; readonly reason: string };

let wellKnown: ReadonlySet<string> | undefined;

/** About 49,000 passwords seen most often in leaks, in lower case (the list of the zxcvbn-ts project). */
function wellKnownPasswords(): ReadonlySet<string> {
  wellKnown ??= new Set(common.dictionary['passwords-common']);
  return wellKnown;
}

/**
 * Whether a password may be chosen. Length is the contract's matter; this refuses the ones a guesser tries first: a
 * well-known password (also with another case or with digits and signs at its end), the account's own address or the
 * farm's name, and one character or a short piece repeated. There are no composition rules (ASVS 5.0 item 6.2.5).
 */
export function judgePassword(
  password: string,
  own: { readonly email: string; readonly farmName: string },
): PasswordVerdict {
  const folded = password.normalize('NFC').toLowerCase();
  const stem = folded.replace(/[\d\p{P}\p{S}]+$/u, '');
  if (wellKnownPasswords().has(folded) || (stem.length >= 4 && folded.length < 15 && wellKnownPasswords().has(stem))) {
    return {
      ok: false,
      reason: 'This password, or all of it but its ending, is among the most used ones: choose another.',
    };
  }
  if (ownWords(own).some((word) => folded === word || stem === word)) {
    return { ok: false, reason: 'The password is your e-mail address or the name of the farm: choose another.' };
  }
  if (/^(.{1,4})\1+$/u.test(folded)) {
    return { ok: false, reason: 'The password only repeats itself: choose another.' };
  }
  return { ok: true };
}

function ownWords({ email, farmName }: { readonly email: string; readonly farmName: string }): string[] {
  const words = [email, email.split('@')[0] ?? '', farmName, farmName.replaceAll(/\s/g, '')];
  return words.map((word) => word.toLowerCase()).filter((word) => word.length >= PASSWORD_MIN_LENGTH - 4);
}
