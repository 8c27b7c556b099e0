import { requireThat } from '../errors.js';
import { foodReference, lethality, lethalityOfHold, lethalRate, type TracePoint } from './lethality.js';
import type { HeatMethod } from './methods.js';
import { boilingPointC, steamTemperatureC } from './standard-atmosphere.js';

/** What is known of one steriliser cycle. */
export interface CycleRecord {
  readonly method: HeatMethod;
  readonly altitudeM: number;
  /** What this farm holds by this method, minutes; the method's own when the farm has not said. */
  readonly declaredHoldMin: number;
  /** Temperatures in the load, or null when there was no probe. */
  readonly trace: readonly TracePoint[] | null;
  /** How long it was held as logged; null when the log does not say. */
  readonly holdMin: number | null;
  /** Gauge during the hold, for a pressure method; null when not logged. */
  readonly gaugePressureKpa: number | null;
  /** Minutes from the gauge being up until the middle of the load is hot. */
  readonly comeUpAllowanceMin: number;
  /** Whether the boil or the pressure was lost during the hold. */
  readonly interrupted: boolean;
}

export type Departure = 'short hold' | 'too cold' | 'interrupted' | 'below target' | 'gaps in the trace';

export interface CycleVerdict {
  readonly kind: 'as the method asks' | 'departs' | 'not enough data';
  readonly departures: readonly Departure[];
  /** F0 in the load: measured by trace, or estimated from hold and gauge; null when neither is known. */
  readonly f0Min: number | null;
  readonly from: 'trace' | 'hold' | null;
  /** What to do, in plain English; empty when nothing departs. */
  readonly advice: readonly string[];
  /** Minutes of hold that would reach the method's own target at the temperature this cycle had; null where none. */
  readonly holdForTargetMin: number | null;
}

/** A wider gap in a trace may hide a lost boil. */
const WIDEST_GAP_MIN = 10;
/** A gauge and a probe are read to about half a degree. */
const SLACK_C = 0.5;

/**
 * Judges a cycle against its own method, not against sterility: a boiling-water farm is not warned of every load. Only a
 * departure is called: a short hold, a hold too cold, a lost boil, a trace with gaps, or F0 below what the method aims for.
 * @throws DomainError of {@link lethality} for an impossible trace, `altitude-out-of-range`, `pressure-out-of-range`
 */
export function cycleVerdict(record: CycleRecord): CycleVerdict {
  const { method, trace, holdMin, declaredHoldMin } = record;
  requireThat(
    declaredHoldMin > 0,
    'trace-out-of-range',
    `A method holds for more than 0 minutes, not ${declaredHoldMin}.`,
  );
  const wantedC = method.temperatureC ?? boilingPointC(record.altitudeM);
  const measured = trace ? lethality(trace) : null;
  const heldC = measured?.highestC ?? estimatedC(record, wantedC);
  const f0Min = measured?.f0Min ?? estimatedF0(record, heldC);
  const departures: Departure[] = [];
  const heldMin = trace ? minutesAbove(trace, wantedC - SLACK_C) : holdMin;
  if (record.interrupted) departures.push('interrupted');
  if (heldC !== null && heldC < wantedC - SLACK_C) departures.push('too cold');
  else if (heldMin !== null && heldMin < declaredHoldMin) departures.push('short hold');
  if (measured && measured.longestGapMin > WIDEST_GAP_MIN) departures.push('gaps in the trace');
  if (method.f0TargetMin !== null && f0Min !== null && f0Min < method.f0TargetMin) departures.push('below target');
  const unknown = heldMin === null || heldC === null;
  return {
    kind: departures.length > 0 ? 'departs' : unknown ? 'not enough data' : 'as the method asks',
    departures,
    f0Min,
    from: measured ? 'trace' : f0Min === null ? null : 'hold',
    advice: departures.map((departure) => advice[departure]),
    holdForTargetMin:
      method.f0TargetMin === null || heldC === null
        ? null
        : record.comeUpAllowanceMin + method.f0TargetMin / lethalRate(heldC),
  };
}

const advice: Readonly<Record<Departure, string>> = {
  'short hold':
    'The hold was shorter than your method asks: hold again from the start, or mark the load and watch it apart.',
  'too cold':
    'The load was colder than your method asks. Vent the air for 10 minutes before closing; at altitude lengthen the hold. Never press the vessel above its rating.',
  interrupted: 'The boil or the pressure was lost: count the hold from when it came back, or hold again.',
  'below target': 'The load got less heat than the method aims for: lengthen the hold, or load fewer jars.',
  'gaps in the trace':
    'The trace has gaps: what happened in them is not known. Log a temperature at least every ten minutes.',
};

function estimatedC({ method, gaugePressureKpa, altitudeM }: CycleRecord, wantedC: number): number | null {
  if (method.temperatureC === null) return wantedC;
  return gaugePressureKpa === null ? null : steamTemperatureC(gaugePressureKpa, altitudeM);
}

function estimatedF0({ holdMin, comeUpAllowanceMin, method }: CycleRecord, heldC: number | null): number | null {
  if (holdMin === null || heldC === null) return null;
  return method.treatments * lethalityOfHold({ holdMin, temperatureC: heldC, comeUpAllowanceMin }, foodReference);
}

/** Minutes of a trace at or above a temperature, the crossings found on straight lines between points. */
export function minutesAbove(trace: readonly TracePoint[], temperatureC: number): number {
  return trace.slice(1).reduce((sum, to, i) => {
    const from = trace[i]!;
    const minutes = to.minute - from.minute;
    const [a, b] = [from.temperatureC - temperatureC, to.temperatureC - temperatureC];
    if (a >= 0 && b >= 0) return sum + minutes;
    if (a < 0 && b < 0) return sum;
    return sum + (minutes * Math.max(a, b)) / Math.abs(a - b);
  }, 0);
}
