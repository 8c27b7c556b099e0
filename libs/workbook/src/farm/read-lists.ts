import type { ContainerSize, Room, StrainProfile } from '@jarfold/domain';
import { usualRipeMassG } from '@jarfold/domain';
import { Names } from '../sheets/names.js';
import type { TableRow } from '../sheets/read-table.js';
import type { roomSheet } from '../sheets/room-columns.js';
import type { sizeSheet } from '../sheets/size-columns.js';
import type { strainSheet } from '../sheets/strain-columns.js';
import { sizeOf } from './farm-size.js';
import { strainOf } from './farm-strain.js';

/** The rows of one sheet, and their names to look up. Rows with an unreadable cell count with a starting value. */
export interface Listed<T> {
  readonly items: readonly T[];
  readonly names: Names;
  find(name: string): T | null;
}

/** Stands in for the first size while the Sizes sheet is missing or unreadable. */
const REFERENCE_VOLUME_ML = 1000;

export function readSizes(rows: readonly TableRow<typeof sizeSheet.columns>[] | null): Listed<ContainerSize> {
  return listed('size', 'Sizes', rows, ({ values }) =>
    sizeOf({ ...values, volumeMl: values.volumeMl ?? REFERENCE_VOLUME_ML }),
  );
}

export function readStrains(
  rows: readonly TableRow<typeof strainSheet.columns>[] | null,
  referenceRipeGrams: number | null,
): Listed<StrainProfile> {
  const ripeGrams = referenceRipeGrams ?? usualRipeMassG(REFERENCE_VOLUME_ML);
  return listed('strain', 'Strains', rows, ({ values }) => strainOf(values, ripeGrams));
}

export function readRooms(rows: readonly TableRow<typeof roomSheet.columns>[] | null): Listed<Room> {
  return listed('room', 'Rooms', rows, ({ values }) => ({
    id: values.room ?? '',
    kind: values.kind ?? 'incubation',
    places: values.places ?? 0,
    temperatureC: values.temperatureC,
  }));
}

function listed<R, T extends { readonly id: string }>(
  what: string,
  sheet: string,
  rows: readonly R[] | null,
  make: (row: R) => T,
): Listed<T> {
  const items = (rows ?? []).map(make);
  const byId = new Map(items.map((item) => [item.id, item]));
  return {
    items,
    names: new Names(what, sheet, rows && [...byId.keys()]),
    find: (name) => byId.get(name) ?? null,
  };
}
