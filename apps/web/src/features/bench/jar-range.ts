import type { Jar } from '@jarfold/domain';

export type RangeReading =
  | { readonly kind: 'jars'; readonly jars: readonly Jar[] }
  | { readonly kind: 'unknown'; readonly text: string }
  /** Numbers that the lot does not have, or whose jars are gone. */
  | { readonly kind: 'missing'; readonly lotCode: string; readonly numbers: readonly number[] };

export interface RangeWorld {
  jarWithCode(code: string): Jar | undefined;
  /** Jars of a lot by its code, those gone included; none when there is no such lot. */
  jarsOfLot(lotCode: string): readonly Jar[];
}

const MOST_IN_RANGE = 500;

/**
 * Reads what a person types or a scanner sends: a jar's code, a lot's code for all of it, or numbers of a lot as they are
 * spoken, `07 to 12`, `7-12`, `3, 5, 9`, after the lot's code and a slash, or alone when a lot is chosen already.
 */
export function readRange(text: string, world: RangeWorld, chosenLot: string | null): RangeReading {
  const tidy = text.trim().toUpperCase();
  const jar = world.jarWithCode(tidy);
  if (jar && jar.goneAs === null) return { kind: 'jars', jars: [jar] };
  const whole = standing(world.jarsOfLot(tidy));
  if (whole.length > 0) return { kind: 'jars', jars: whole };
  const slash = tidy.lastIndexOf('/');
  const lotCode = slash > 0 ? tidy.slice(0, slash) : chosenLot;
  const numbers = readNumbers(slash > 0 ? tidy.slice(slash + 1) : tidy);
  const lot = lotCode === null ? [] : world.jarsOfLot(lotCode);
  if (lotCode === null || numbers === null || lot.length === 0) return { kind: 'unknown', text: text.trim() };
  return pick(lotCode, lot, numbers);
}

function pick(lotCode: string, lot: readonly Jar[], numbers: readonly number[]): RangeReading {
  const bySerial = new Map(standing(lot).map((jar) => [jar.serial, jar]));
  const missing = numbers.filter((number) => !bySerial.has(number));
  if (missing.length > 0) return { kind: 'missing', lotCode, numbers: missing };
  return { kind: 'jars', jars: numbers.flatMap((number) => bySerial.get(number) ?? []) };
}

function standing(jars: readonly Jar[]): readonly Jar[] {
  return jars.filter(({ goneAs }) => goneAs === null).sort((a, b) => a.serial - b.serial);
}

/** `7 TO 12`, `7-12`, `3, 5, 9-11`; null when it is none of these or longer than anyone means. */
function readNumbers(text: string): readonly number[] | null {
  const numbers: number[] = [];
  for (const part of text.split(/[,;+]|\bAND\b/)) {
    const match = /^\s*(\d{1,3})\s*(?:(?:-|–|\bTO\b|\.\.)\s*(\d{1,3}))?\s*$/.exec(part);
    if (!match) return null;
    const [from, to] = [Number(match[1]), Number(match[2] ?? match[1])].sort((a, b) => a - b) as [number, number];
    if (numbers.length + to - from >= MOST_IN_RANGE) return null;
    for (let number = from; number <= to; number += 1) numbers.push(number);
  }
  return numbers.length === 0 ? null : [...new Set(numbers)];
}
