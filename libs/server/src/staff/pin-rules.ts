/**
 * Why a PIN may not be chosen, or null. Tries are counted, so this only refuses what a passer-by tries first: one digit
 * repeated, a run up or down, and a pair or three digits repeated.
 */
export function judgePin(pin: string): string | null {
  if (/^(\d{1,3})\1+$/.test(pin)) return 'The PIN only repeats itself: choose another.';
  const steps = new Set([...pin].slice(1).map((digit, at) => (Number(digit) - Number(pin[at]) + 10) % 10));
  if (steps.size === 1 && (steps.has(1) || steps.has(9))) return 'The PIN counts up or down: choose another.';
  return null;
}
