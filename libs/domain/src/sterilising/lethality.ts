import { requireThat } from '../errors.js';

/**
 * What the heat is compared with. F0 is minutes at the reference temperature with the same effect; the reference must be
 * named, since 121.0, 121.1 and 121.11 °C differ by 2.5 % of F0.
 */
export interface LethalityReference {
  readonly temperatureC: number;
  /** Degrees that make the kill ten times faster. */
  readonly zC: number;
}

/** Food practice: 250 °F, written 121.1 °C, and z = 10 °C. */
export const foodReference: LethalityReference = { temperatureC: 121.1, zC: 10 };
/** Pharmacopoeia: 121 °C. */
export const pharmacyReference: LethalityReference = { temperatureC: 121, zC: 10 };

/** Minutes at the reference that one minute at a temperature is worth. `lethalRate(111.1)` is 0.1. */
export const lethalRate = (temperatureC: number, { temperatureC: referenceC, zC } = foodReference): number =>
  10 ** ((temperatureC - referenceC) / zC);

/** A temperature in the load at a time after the start. */
export interface TracePoint {
  readonly minute: number;
  readonly temperatureC: number;
}

export interface Lethality {
  readonly f0Min: number;
  readonly highestC: number;
  readonly minutes: number;
  /** Longest gap between two points; a wide one hides what happened in it. */
  readonly longestGapMin: number;
}

/**
 * F0 of a temperature trace: the lethal rate summed over time. Between two points the temperature is taken as a straight
 * line, over which the rate is integrated exactly.
 * @param trace at least two points, times rising
 * @throws DomainError `trace-too-short`, `trace-out-of-order`, `trace-out-of-range`
 * Source: low-acid food practice; the exact integral over a ramp is z/(r ln 10) × (L2 − L1).
 * @example lethality([{ minute: 0, temperatureC: 121.1 }, { minute: 15, temperatureC: 121.1 }]).f0Min // 15
 */
export function lethality(trace: readonly TracePoint[], reference: LethalityReference = foodReference): Lethality {
  requireThat(trace.length >= 2, 'trace-too-short', `A trace needs two points or more, not ${trace.length}.`);
  requireThat(
    reference.zC > 0 && Number.isFinite(reference.temperatureC),
    'trace-out-of-range',
    `A reference needs z above 0, not ${reference.zC}.`,
  );
  trace.forEach(requirePoint);
  let [f0Min, longestGapMin] = [0, 0];
  for (let i = 1; i < trace.length; i++) {
    const [from, to] = [trace[i - 1]!, trace[i]!];
    const minutes = to.minute - from.minute;
    requireThat(
      minutes > 0,
      'trace-out-of-order',
      `Point ${i + 1} of the trace is at minute ${to.minute}, not after minute ${from.minute}.`,
      { index: i },
    );
    f0Min += minutes * meanRate(from.temperatureC, to.temperatureC, reference);
    longestGapMin = Math.max(longestGapMin, minutes);
  }
  const highestC = trace.reduce(
    (highest, { temperatureC }) => Math.max(highest, temperatureC),
    Number.NEGATIVE_INFINITY,
  );
  return { f0Min, highestC, minutes: trace.at(-1)!.minute - trace[0]!.minute, longestGapMin };
}

/** Mean lethal rate along a straight line of temperature: exact, with the limit where both ends are alike. */
function meanRate(fromC: number, toC: number, reference: LethalityReference): number {
  const exponent = ((toC - fromC) / reference.zC) * Math.LN10;
  const rate = lethalRate(fromC, reference);
  return Math.abs(exponent) < 1e-9 ? rate * (1 + exponent / 2) : (rate * Math.expm1(exponent)) / exponent;
}

function requirePoint({ minute, temperatureC }: TracePoint, index: number): void {
  requireThat(
    Number.isFinite(minute) && temperatureC > -50 && temperatureC < 200,
    'trace-out-of-range',
    `Point ${index + 1} of the trace is ${temperatureC} °C at minute ${minute}: a load lies between −50 and 200 °C. Is it in Fahrenheit?`,
    { index },
  );
}

/**
 * F0 of a hold at one temperature, counted from when the middle of the load is hot: the come-up allowance is taken off.
 * Heating and cooling are not counted, so the true value is higher.
 * @example lethalityOfHold({ holdMin: 90, temperatureC: 121.1, comeUpAllowanceMin: 30 }) // 60
 */
export function lethalityOfHold(
  {
    holdMin,
    temperatureC,
    comeUpAllowanceMin,
  }: { readonly holdMin: number; readonly temperatureC: number; readonly comeUpAllowanceMin: number },
  reference: LethalityReference = foodReference,
): number {
  requireThat(
    holdMin >= 0 && comeUpAllowanceMin >= 0 && Number.isFinite(holdMin) && Number.isFinite(comeUpAllowanceMin),
    'trace-out-of-range',
    `A hold and its come-up allowance are 0 minutes or more, not ${holdMin} and ${comeUpAllowanceMin}.`,
  );
  requirePoint({ minute: 0, temperatureC }, 0);
  return Math.max(0, holdMin - comeUpAllowanceMin) * lethalRate(temperatureC, reference);
}

/** Minutes of hold at a temperature for a wanted F0: how much longer at altitude, where the vessel gets less hot. */
export function holdForLethality(
  f0Min: number,
  temperatureC: number,
  comeUpAllowanceMin: number,
  reference = foodReference,
): number {
  requireThat(f0Min >= 0 && comeUpAllowanceMin >= 0, 'trace-out-of-range', `F0 is 0 or more, not ${f0Min}.`);
  requirePoint({ minute: 0, temperatureC }, 0);
  return comeUpAllowanceMin + f0Min / lethalRate(temperatureC, reference);
}
