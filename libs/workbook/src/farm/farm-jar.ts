import {
  addDays,
  type CalendarDay,
  type ContainerSize,
  type StockContainer,
  type StrainProfile,
} from '@jarfold/domain';
import type { jarSheet } from '../sheets/jar-columns.js';
import type { ProblemList } from '../sheets/problem-list.js';
import type { TableRow } from '../sheets/read-table.js';

export type JarRow = TableRow<typeof jarSheet.columns>;

/** A jar whose strain, size and days were found good. */
export interface NamedJar {
  readonly row: JarRow;
  readonly strain: StrainProfile;
  readonly size: ContainerSize;
  readonly roomId: string | null;
  readonly madeOn: CalendarDay;
}

const GONE = new Set(['emptied', 'discarded', 'contaminated', 'aged out']);

/** States that say the jar is of no further use. */
export const isGone = (state: string): boolean => GONE.has(state);

/**
 * The jar as it was on the day of the plan: what happened to it later (a plan made for an earlier day) is put back, and
 * said. Null when there is nothing to plan with.
 */
export function jarOf({ row, strain, size, roomId, madeOn }: NamedJar, asOf: CalendarDay, found: ProblemList) {
  const { values } = row;
  if (madeOn > asOf) {
    found.note(
      row.sheet,
      row.cell('madeOn'),
      `Jar ${values.code} is made on ${madeOn}, after ${asOf}; it was left out.`,
    );
    return null;
  }
  if (values.gramsLeft === 0 && values.state !== 'incubating') {
    found.note(row.sheet, row.cell('gramsLeft'), `Jar ${values.code} has nothing left in it; it was left out.`);
    return null;
  }
  const state = stateOn(asOf, row, madeOn, strain, found);
  const container: StockContainer = {
    code: values.code ?? '',
    strainId: strain.id,
    generation: values.generation ?? 0,
    sizeId: size.id,
    state,
    madeOn,
    ripeOn: values.ripeOn,
    chilledOn: state === 'chilled' ? values.chilledOn : null,
    openedOn: state === 'opened' ? (values.openedOn ?? openedToday(row, asOf, found)) : null,
    gramsLeft: values.gramsLeft ?? size.ripeGrams,
    roomId,
    keptAsMother: values.keptAsMother ?? false,
    survival: state === 'incubating' ? values.survival : 1,
  };
  return container;
}

function stateOn(
  asOf: CalendarDay,
  row: JarRow,
  madeOn: CalendarDay,
  strain: StrainProfile,
  found: ProblemList,
): StockContainer['state'] {
  const { values } = row;
  const state = values.state as StockContainer['state'];
  const back = (
    earlier: StockContainer['state'],
    day: CalendarDay | null,
    key: 'ripeOn' | 'chilledOn' | 'openedOn',
  ) => {
    const word = state === 'chilled' || state === 'opened' ? state : 'ripe';
    const message = `Jar ${values.code} is ${word} since ${day}, after ${asOf}; it counts as ${earlier}.`;
    found.note(row.sheet, row.cell(key), message);
    return earlier;
  };
  const ripeOn = values.ripeOn;
  const stillGrowing = ripeOn !== null && ripeOn > asOf && addDays(madeOn, strain.daysToRipe) > asOf;
  if (state === 'incubating') return state;
  if (values.generation !== 0 && stillGrowing) return back('incubating', ripeOn, 'ripeOn');
  if (state === 'chilled' && values.chilledOn !== null && values.chilledOn > asOf) {
    return back('ripe', values.chilledOn, 'chilledOn');
  }
  if (state === 'opened' && values.openedOn !== null && values.openedOn > asOf) {
    return back('ripe', values.openedOn, 'openedOn');
  }
  return state;
}

function openedToday(row: JarRow, asOf: CalendarDay, found: ProblemList): CalendarDay {
  const message = `Jar ${row.values.code} does not say when it was opened; it counts as opened on ${asOf}.`;
  found.note(row.sheet, row.cell('openedOn'), message);
  return asOf;
}
