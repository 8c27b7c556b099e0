/**
 * An e-mail address as accounts are found by it. Case is folded throughout: strictly the part before the @ may tell
 * cases apart (RFC 5321 section 2.4), but no person expects two accounts from that.
 */
export function emailKey(email: string): string {
  return email.trim().normalize('NFC').toLowerCase();
}
