import { type ContainerSize, usualRipeMassG } from '@jarfold/domain';
import type { SizeValuesRow } from './farm-workbook.js';

/** A size; without a weighed one its ripe grams follow from the volume. */
export function sizeOf(values: SizeValuesRow): ContainerSize {
  const volumeMl = values.volumeMl ?? 0;
  return {
    id: values.size ?? '',
    volumeMl,
    ripeGrams: values.ripeGrams ?? usualRipeMassG(volumeMl),
    inoculumFactor: values.inoculumFactor ?? 1,
    vesselPlaces: values.vesselPlaces ?? 1,
    shelfPlaces: values.shelfPlaces ?? 1,
    cleanEmpty: values.cleanEmpty,
  };
}
