import { strainCodeProblem } from '../codes/index.js';
import { requireThat } from '../errors.js';

/**
 * The first short code of a species that no strain of the farm has yet: its letters and a number from 1.
 * @throws DomainError `no-strain-code-free` when all of 1 to 999 are taken
 * @example freeStrainCode('OY', new Set(['OY1'])) // 'OY2'
 */
export function freeStrainCode(letters: string, taken: ReadonlySet<string>): string {
  for (let number = 1; number <= 999; number += 1) {
    const code = `${letters}${number}`;
    if (!taken.has(code) && strainCodeProblem(code) === null) return code;
  }
  requireThat(
    false,
    'no-strain-code-free',
    `No short code from ${letters}1 to ${letters}999 is free: write one yourself.`,
  );
}
