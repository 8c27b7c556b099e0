import { DomainError } from '@jarfold/domain';
import { z } from 'zod';
import type { Calculation } from './calculation.js';
import { contaminationCalculations } from './calculations-contamination.js';
import { demandCalculations } from './calculations-demand.js';
import { grainCalculations } from './calculations-grain.js';
import { growthCalculations } from './calculations-growth.js';
import { statisticsCalculations } from './calculations-statistics.js';
import { sterilisingCalculations } from './calculations-sterilising.js';
import { supplyCalculations } from './calculations-supply.js';
import { plainMistake } from './plain-mistakes.js';

export type { Calculation } from './calculation.js';

/** Every calculation of the open calculator, by name. */
export const calculations: ReadonlyMap<string, Calculation> = new Map(
  [
    ...contaminationCalculations,
    ...demandCalculations,
    ...grainCalculations,
    ...growthCalculations,
    ...statisticsCalculations,
    ...sterilisingCalculations,
    ...supplyCalculations,
  ]
    .sort((one, other) => (one.name < other.name ? -1 : 1))
    .map((calculation) => [calculation.name, calculation]),
);

export interface CalculationError {
  /** JSON pointer into the input; empty for the whole of it. */
  readonly pointer: string;
  readonly code: string;
  readonly message: string;
}

export type Evaluated =
  | { readonly kind: 'answer'; readonly name: string; readonly output: unknown }
  | { readonly kind: 'refused'; readonly name: string; readonly errors: readonly CalculationError[] };

/**
 * Runs a calculation on plain input: checks it, computes, checks the output. Every problem of the input is named at
 * once; what has no meaning for the calculation is refused with its reason. Pure.
 * @example evaluate('wilson-interval', { hits: 7, n: 50 })
 */
export function evaluate(name: string, input: unknown): Evaluated {
  const calculation = calculations.get(name);
  if (!calculation) return refused(name, [{ pointer: '', code: 'unknown-calculation', message: unknownName(name) }]);
  const parsed = calculation.input.safeParse(input, { error: plainMistake });
  if (!parsed.success)
    return refused(
      name,
      parsed.error.issues.map(({ path, code, message }) => ({ pointer: pointerTo(path), code, message })),
    );
  try {
    const output = calculation.run(parsed.data as never);
    return { kind: 'answer', name, output: calculation.output.parse(output) };
  } catch (error) {
    if (error instanceof DomainError) return refused(name, [{ pointer: '', code: error.code, message: error.message }]);
    throw error;
  }
}

const refused = (name: string, errors: readonly CalculationError[]): Evaluated => ({ kind: 'refused', name, errors });

const pointerTo = (path: readonly PropertyKey[]): string =>
  path.map((part) => `/${String(part).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');

function unknownName(name: string): string {
  const words = name.toLowerCase().split('-');
  const near = [...calculations.keys()].filter((known) =>
    words.some((word) => word.length > 2 && known.includes(word)),
  );
  const hint = near.length > 0 ? ` Did you mean ${near.slice(0, 4).join(', ')}?` : '';
  return `There is no calculation "${name}".${hint} The list has them all.`;
}

/** A calculation as the list shows it: its schemas as JSON Schema (2020-12). */
export interface CalculationEntry {
  readonly name: string;
  readonly purpose: string;
  readonly source: string;
  readonly input: unknown;
  readonly output: unknown;
  readonly example: unknown;
}

export function calculationList(): readonly CalculationEntry[] {
  return [...calculations.values()].map(({ name, purpose, source, input, output, example }) => ({
    name,
    purpose,
    source,
    input: z.toJSONSchema(input, { io: 'input' }),
    output: z.toJSONSchema(output, { io: 'output' }),
    example,
  }));
}
