import { fahrenheitToCelsius } from '../units/index.js';
import type { TracePoint } from './lethality.js';

export type TraceUnit = 'C' | 'F';

export interface TraceProblem {
  /** Line of the text, from 1; null for the whole file. */
  readonly line: number | null;
  readonly code: 'unit needed' | 'not a time' | 'not a temperature' | 'out of order' | 'too short' | 'not plausible';
  readonly message: string;
}

export type TraceRead =
  | {
      readonly kind: 'trace';
      /** As declared, or as the heading says. */
      readonly unit: TraceUnit;
      readonly points: readonly TracePoint[];
    }
  | { readonly kind: 'refused'; readonly problems: readonly TraceProblem[] };

/**
 * Reads a logger's file: one line per reading, time and temperature apart by comma, semicolon or tab. The time is minutes
 * from the start, or a clock time (`14:05`, `14:05:30`, past midnight counted on). The unit is never guessed: it stands
 * in the heading (`°C`, `degC`, `temperature_f`, …) or is given. All problems are named in one pass.
 * @param unit declared by the person, or null to take it from the heading
 */
export function readTrace(text: string, unit: TraceUnit | null): TraceRead {
  const lines = text.split(/\r\n|\n|\r/).map((line, i) => ({ number: i + 1, cells: cellsOf(line) }));
  const filled = lines.filter(({ cells }) => cells.some((cell) => cell !== ''));
  const heading = filled[0] && minuteOf(filled[0].cells[0] ?? '', null) === null ? filled.shift() : undefined;
  const known = unit ?? unitOf(heading?.cells ?? []);
  if (known === null)
    return refuse([
      { line: null, code: 'unit needed', message: 'Say whether the temperatures are °C or °F: the file does not.' },
    ]);
  const problems: TraceProblem[] = [];
  const points: TracePoint[] = [];
  for (const { number, cells } of filled) {
    const read = readLine(number, cells, known, points.at(-1)?.minute ?? null);
    problems.push(...read.problems);
    if (read.point) points.push(read.point);
  }
  if (points.length < 2 && problems.length === 0)
    problems.push({ line: null, code: 'too short', message: 'A trace needs two readings or more.' });
  return problems.length > 0 ? refuse(problems) : { kind: 'trace', unit: known, points: fromStart(points) };
}

/** One reading, with everything that is wrong with it. A reading out of order is not counted on from. */
function readLine(line: number, cells: readonly string[], unit: TraceUnit, previous: number | null) {
  const [time = '', value = ''] = cells;
  const minute = minuteOf(time, previous);
  const reading = numberOf(value);
  const problems: TraceProblem[] = [];
  const late = minute !== null && (previous === null || minute > previous);
  if (minute === null) problems.push(problem(line, 'not a time', `"${time}" is neither minutes nor a clock time.`));
  else if (!late) problems.push(problem(line, 'out of order', `Minute ${minute} comes after minute ${previous}.`));
  if (reading === null) {
    problems.push(problem(line, 'not a temperature', `"${value}" is not a number.`));
    return { problems, point: null };
  }
  const temperatureC = unit === 'F' ? fahrenheitToCelsius(reading) : reading;
  if (temperatureC < -20 || temperatureC > 160)
    problems.push(
      problem(line, 'not plausible', `${reading} °${unit} is no temperature of a steriliser: is the unit right?`),
    );
  return { problems, point: late ? { minute, temperatureC } : null };
}

const refuse = (problems: readonly TraceProblem[]): TraceRead => ({ kind: 'refused', problems });
const problem = (line: number, code: TraceProblem['code'], message: string): TraceProblem => ({ line, code, message });

/** Semicolon or tab where there is one; otherwise a comma, unless it can only be a decimal one. */
function cellsOf(line: string): readonly string[] {
  const separator = line.includes('\t') ? '\t' : line.includes(';') ? ';' : ',';
  return line.split(separator).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1'));
}

function unitOf(heading: readonly string[]): TraceUnit | null {
  const text = heading.join(' ').toLowerCase();
  const celsius = /°\s*c\b|deg\s*c|celsius|_c\b|\(c\)/.test(text);
  const fahrenheit = /°\s*f\b|deg\s*f|fahrenheit|_f\b|\(f\)/.test(text);
  if (celsius === fahrenheit) return null;
  return celsius ? 'C' : 'F';
}

function numberOf(text: string): number | null {
  const plain = text.replace(',', '.');
  return /^[+-]?\d+(\.\d+)?$/.test(plain) ? Number(plain) : null;
}

const MINUTES_PER_DAY = 1440;

function minuteOf(text: string, previous: number | null): number | null {
  const clock = /^(\d{1,2}):([0-5]\d)(?::([0-5]\d)(?:\.\d+)?)?$/.exec(text);
  if (!clock) return numberOf(text);
  const minute = Number(clock[1]) * 60 + Number(clock[2]) + Number(clock[3] ?? 0) / 60;
  if (Number(clock[1]) > 23) return null;
  // Only a fall of more than half a day is midnight; a smaller one is a reading out of order.
  return previous !== null && (previous % MINUTES_PER_DAY) - minute > MINUTES_PER_DAY / 2
    ? minute + (Math.floor(previous / MINUTES_PER_DAY) + 1) * MINUTES_PER_DAY
    : minute + (previous === null ? 0 : Math.floor(previous / MINUTES_PER_DAY) * MINUTES_PER_DAY);
}

function fromStart(points: readonly TracePoint[]): readonly TracePoint[] {
  const first = points[0]!.minute;
  return points.map(({ minute, temperatureC }) => ({ minute: minute - first, temperatureC }));
}
