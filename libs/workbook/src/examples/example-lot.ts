import {
  addDays,
  type CalendarDay,
  formatIsoWeek,
  formatJarCode,
  type IsoWeekday,
  isoWeek,
  isoWeekday,
  strainCode,
} from '@jarfold/domain';
import type { JarValuesRow } from '../farm/farm-workbook.js';
import type { JarState } from '../sheets/jar-columns.js';
import { jarRow } from './blank-rows.js';

/** Jars made together, told by how long ago. */
export interface ExampleLot {
  readonly strain: string;
  readonly shortCode: string;
  readonly generation: number;
  readonly size: string;
  readonly jars: number;
  /** Made on the last bench day that lies at least so many days back. */
  readonly daysAgo: number;
  readonly ripeAfter: number;
  readonly state: JarState;
  readonly place: string;
  readonly gramsLeft?: number;
  readonly keptAsMother?: boolean;
}

/** The jars of all lots; lots of one strain and week are numbered as they come. */
export function jarsOfLots(
  lots: readonly ExampleLot[],
  asOf: CalendarDay,
  benchWeekdays: readonly IsoWeekday[],
): JarValuesRow[] {
  const serials = new Map<string, number>();
  return lots.flatMap((lot) => {
    const madeOn = benchDayBack(addDays(asOf, -lot.daysAgo), benchWeekdays);
    const key = `${lot.shortCode} ${formatIsoWeek(isoWeek(madeOn))}`;
    const serial = (serials.get(key) ?? 0) + 1;
    serials.set(key, serial);
    return jarsOf(lot, madeOn, serial, asOf);
  });
}

function jarsOf(lot: ExampleLot, madeOn: CalendarDay, serial: number, asOf: CalendarDay): JarValuesRow[] {
  const ripeOn = addDays(madeOn, lot.ripeAfter);
  const code = { strain: strainCode(lot.shortCode), week: isoWeek(madeOn), serial };
  return Array.from({ length: lot.jars }, (_, index) =>
    jarRow({
      code: formatJarCode({ lot: code, number: index + 1 }),
      strain: lot.strain,
      generation: lot.generation,
      size: lot.size,
      state: lot.state,
      madeOn,
      ripeOn: lot.state === 'incubating' ? null : ripeOn,
      gramsLeft: lot.gramsLeft ?? null,
      place: lot.place,
      chilledOn: lot.state === 'chilled' ? addDays(ripeOn, 1) : null,
      openedOn: lot.state === 'opened' ? addDays(asOf, -1) : null,
      keptAsMother: lot.keptAsMother ?? null,
    }),
  );
}

function benchDayBack(from: CalendarDay, benchWeekdays: readonly IsoWeekday[]): CalendarDay {
  const days = Array.from({ length: 7 }, (_, back) => addDays(from, -back));
  return days.find((day) => benchWeekdays.includes(isoWeekday(day))) ?? from;
}
