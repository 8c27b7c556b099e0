import { addDays, type CalendarDay } from '../calendar/calendar-day.js';
import { type RipeningDays, slowLot } from '../growth/days-to-ripe.js';
import { type CycleRecord, cycleVerdict } from '../sterilising/cycle-verdict.js';
import type { Flag } from './flag.js';

/** A lot with jars that are not ripe yet. */
export interface UnripeLot {
  readonly code: string;
  readonly strainId: string;
  readonly madeOn: CalendarDay;
  /** Days after inoculation of the last look that found jars of it unripe. */
  readonly unripeAtDays: number;
  /** Jars that look found unripe. */
  readonly unripe: number;
  /** Jars of it that are ripe, or were. */
  readonly ripe: number;
}

/**
 * A whole lot without a ripe jar by a day that one jar in twenty of its strain misses, or half a lot by a day that hardly
 * any misses: on planted farm-years this called an ordinary lot slow less than once in ten years (benchmarks/watch.mjs).
 */
const WHOLE_LOT_ALARM = 0.05;
const HALF_LOT_ALARM = 0.001;

/** Lots still unripe, wholly or by half, on a day by which nearly all jars of their strain are ripe. */
export function slowLotFlags(lots: readonly UnripeLot[], ripening: ReadonlyMap<string, RipeningDays>): Flag[] {
  return lots.flatMap(({ code, strainId, madeOn, unripeAtDays, unripe, ripe }) => {
    const days = ripening.get(strainId);
    if (days === undefined || unripe < ripe || unripe === 0) return [];
    if (slowLot(days, unripeAtDays, ripe === 0 ? WHOLE_LOT_ALARM : HALF_LOT_ALARM).kind !== 'slow') return [];
    const late = ripe === 0 ? 'not ripe' : `${unripe} of ${unripe + ripe} jars not ripe`;
    return [
      {
        ...{ cause: `slow-lot/${code}`, kind: 'slow-lot' as const, where: [code] },
        what: `${code} is slower than its strain: ${late} after ${unripeAtDays} days.`,
        since: addDays(madeOn, unripeAtDays),
        why: `Half of the jars of this strain are ripe after ${days.usualDays.toFixed(0)} days, nine in ten after ${days.lateDays.toFixed(0)}.`,
        action: 'Look for sour smell and wet grain, check the room’s warmth, and do not take mothers from it.',
      },
    ];
  });
}

export interface EndedCycle {
  readonly code: string;
  readonly endedOn: CalendarDay;
  readonly record: CycleRecord;
}

/** Cycles that departed from their own method. A method that does not claim to sterilise is not blamed for it. */
export function cycleFlags(cycles: readonly EndedCycle[]): Flag[] {
  return cycles.flatMap(({ code, endedOn, record }) => {
    const { kind, departures, advice } = cycleVerdict(record);
    if (kind !== 'departs') return [];
    return [
      {
        ...{ cause: `cycle-departed/${code}`, kind: 'cycle-departed' as const, where: [code], since: endedOn },
        what: `Steriliser cycle ${code} departed from its method: ${departures.join(', ')}.`,
        why: `“${record.method.name}” holds for ${record.declaredHoldMin} minutes${record.holdMin === null ? '' : `; this one held ${record.holdMin}`}.`,
        action: advice.join(' '),
      },
    ];
  });
}
