import type { CalendarDay } from '../calendar/calendar-day.js';

/** One lot with everything that led to it and came of it. Grams over all its jars. */
export interface TraceLot {
  readonly id: string;
  readonly code: string;
  readonly origin: string;
  readonly strainCode: string;
  readonly strainName: string;
  readonly species: string;
  readonly generation: number | null;
  readonly size: string;
  readonly madeOn: CalendarDay;
  /** ISO 8601, UTC. */
  readonly madeAt: string;
  readonly supplier: string | null;
  readonly grainBatch: string | null;
  readonly cycle: string | null;
  readonly f0Min: number | null;
  readonly jars: readonly TraceJar[];
  readonly mothers: readonly { readonly id: string; readonly code: string }[];
  readonly draws: readonly TraceDraw[];
}

export interface TraceJar {
  readonly id: string;
  readonly code: string;
  readonly state: string;
  readonly madeG: number;
  readonly drawnG: number;
  readonly leftG: number;
  readonly discardedG: number;
  readonly contaminatedOn: CalendarDay | null;
  readonly goneAt: string | null;
  readonly goneReason: string | null;
}

/** Grams of a lot's jars into a bulk run, or away from the farm for an order. */
export interface TraceDraw {
  readonly entryId: string;
  readonly at: string;
  readonly jarId: string;
  readonly massG: number;
  readonly runId: string;
  readonly runName: string;
  /** `order`: the jar left the farm; nothing was made of it here. */
  readonly runKind: 'bulk' | 'order';
}

export interface TraceHarvest {
  readonly entryId: string;
  readonly at: string;
  readonly runId: string;
  readonly flush: number;
  readonly massG: number;
}

export interface TraceRecords {
  readonly growerId: string;
  readonly farmName: string;
  /** ISO 8601, UTC. */
  readonly madeAt: string;
  readonly lots: readonly TraceLot[];
  /** Of the runs the lots went into. */
  readonly harvests: readonly TraceHarvest[];
  /** `+01:00` at a moment, where the farm is. */
  readonly offsetAt: (at: string) => string;
}
