import type { TracePoint } from './lethality.js';

/** A stretch of a trace, minutes from its start. */
export interface TraceSpan {
  readonly fromMin: number;
  readonly toMin: number;
}

/**
 * Where a trace stays at or above a temperature, in order; the crossings are found on straight lines between points.
 * More than one stretch means that the heat was lost in between.
 * @param trace times rising
 * @example holdSpans([{ minute: 0, temperatureC: 101 }, { minute: 10, temperatureC: 121 }], 111) // [{ fromMin: 5, toMin: 10 }]
 */
export function holdSpans(trace: readonly TracePoint[], temperatureC: number): readonly TraceSpan[] {
  const spans: TraceSpan[] = [];
  let fromMin: number | null = null;
  trace.forEach((point, i) => {
    const above = point.temperatureC >= temperatureC;
    const before = trace[i - 1];
    if (above && fromMin === null) fromMin = before ? crossing(before, point, temperatureC) : point.minute;
    if (!above && fromMin !== null && before) {
      spans.push({ fromMin, toMin: crossing(before, point, temperatureC) });
      fromMin = null;
    }
  });
  const last = trace.at(-1);
  if (fromMin !== null && last) spans.push({ fromMin, toMin: last.minute });
  return spans;
}

function crossing(from: TracePoint, to: TracePoint, temperatureC: number): number {
  const share = (temperatureC - from.temperatureC) / (to.temperatureC - from.temperatureC);
  return from.minute + share * (to.minute - from.minute);
}
