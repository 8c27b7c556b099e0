import type { Jar } from '@jarfold/contracts';
import type { CalendarDay, OnHandState } from '@jarfold/domain';
import {
  dayFromColumn,
  dayFromColumnOrNull,
  type GrowerTx,
  numberFromColumn,
  numberFromColumnOrNull,
} from '../platform/index.js';

export const ON_HAND: readonly string[] = ['incubating', 'ripe', 'chilled', 'opened'];

/** A jar as it is stored, in plain values. Blanks have no strain and are not spawn: they never get here. */
export interface JarRow {
  readonly id: string;
  readonly code: string;
  readonly lotId: string;
  readonly strainId: string;
  readonly generation: number;
  readonly sizeId: string;
  readonly state: Jar['state'];
  readonly madeOn: CalendarDay;
  readonly ripeOn: CalendarDay | null;
  readonly chilledOn: CalendarDay | null;
  readonly warmedOn: CalendarDay | null;
  readonly openedOn: CalendarDay | null;
  readonly gramsLeft: number;
  readonly shareColonised: number | null;
  readonly keptAsMother: boolean;
  readonly shelfId: string | null;
  readonly row: number | null;
  readonly place: number | null;
}

export const JAR_COLUMNS = {
  id: true,
  code: true,
  lotId: true,
  strainId: true,
  generation: true,
  sizeId: true,
  state: true,
  madeOn: true,
  ripeOn: true,
  chilledOn: true,
  warmedOn: true,
  openedOn: true,
  leftG: true,
  colonisedShare: true,
  keptAsMother: true,
  contaminatedOn: true,
  shelfId: true,
  shelfRow: true,
  shelfPlace: true,
} as const;

type JarColumns = Pick<Awaited<ReturnType<GrowerTx['jar']['findFirstOrThrow']>>, keyof typeof JAR_COLUMNS>;

export function jarFromColumns(row: JarColumns): JarRow {
  return {
    id: row.id,
    code: row.code,
    lotId: row.lotId,
    strainId: row.strainId!,
    generation: row.generation!,
    sizeId: row.sizeId,
    state: stateOf(row.state, row.contaminatedOn !== null),
    madeOn: dayFromColumn(row.madeOn),
    ripeOn: dayFromColumnOrNull(row.ripeOn),
    chilledOn: dayFromColumnOrNull(row.chilledOn),
    warmedOn: dayFromColumnOrNull(row.warmedOn),
    openedOn: dayFromColumnOrNull(row.openedOn),
    gramsLeft: numberFromColumn(row.leftG),
    shareColonised: numberFromColumnOrNull(row.colonisedShare),
    keptAsMother: row.keptAsMother,
    shelfId: row.shelfId,
    row: row.shelfRow,
    place: row.shelfPlace,
  };
}

/** A jar found contaminated that still stands somewhere shows as that, whatever it was before. */
export function stateOf(state: string, contaminated: boolean): Jar['state'] {
  return contaminated && ON_HAND.includes(state) ? 'contaminated' : (state as Jar['state']);
}

export function isOnHand(state: Jar['state']): state is OnHandState {
  return state === 'contaminated' || ON_HAND.includes(state);
}
