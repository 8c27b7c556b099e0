import type { NewTrace } from '@jarfold/contracts';
import { readTrace, type TracePoint } from '@jarfold/domain';
import { AppError } from '../platform/index.js';

export interface ReadAttached {
  readonly unit: 'C' | 'F';
  readonly points: readonly TracePoint[];
}

/** More problems than anyone mends at once; the sentence says how many there are. */
const MOST_PROBLEMS = 50;

/**
 * What a person attached, as a trace in °C from minute 0. Everything wrong with it is told in one pass, line by line.
 * @throws AppError `invalid-input`
 */
export function readAttached(wanted: NewTrace): ReadAttached {
  const text = wanted.kind === 'file' ? wanted.text : asLines(wanted.points);
  const read = readTrace(text, wanted.unit);
  if (read.kind === 'trace') return { unit: read.unit, points: read.points };
  const pointer = ({ line }: (typeof read.problems)[number]) =>
    wanted.kind === 'file' ? '/text' : line === null ? '/points' : `/points/${line - 1}`;
  const first = read.problems[0]!;
  throw new AppError('invalid-input', summary(read.problems.length, inWords(first)), {
    errors: read.problems.slice(0, MOST_PROBLEMS).map((problem) => ({
      pointer: problem.code === 'unit needed' ? '/unit' : pointer(problem),
      detail: wanted.kind === 'file' ? inWords(problem) : problem.message,
      in: 'body',
    })),
  });
}

const inWords = ({ line, message }: { readonly line: number | null; readonly message: string }): string =>
  line === null ? message : `Line ${line}: ${message}`;

const summary = (count: number, first: string): string =>
  count === 1
    ? `The trace cannot be read. ${first} Nothing was attached.`
    : `The trace cannot be read: ${count} things are wrong, the first is: ${first} Nothing was attached.`;

/** Entered readings go the road of a file, so that the same rules refuse them. */
function asLines(points: Extract<NewTrace, { kind: 'points' }>['points']): string {
  return points.map(({ minute, temperature }) => `${minute};${temperature}`).join('\n');
}
