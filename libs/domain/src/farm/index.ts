export {
  type ContainerValues,
  containerValues,
  type FarmGrain,
  farmFilling,
  knownGrain,
  referenceRipeGrams,
  referenceVolumeMl,
  usualInoculumFactor,
  usualSourceOfGrain,
} from './container-values.js';
export { freeStrainCode } from './free-strain-code.js';
export { type ShelfGrid, shelfPlacesOf } from './shelf-places.js';
export { placeInOrder, startingShelf } from './starting-shelf.js';
export {
  fromPublished,
  ownWord,
  type SourcedValue,
  type StrainOverrides,
  type StrainValues,
  speciesValues,
  strainValues,
  type ValueOrigin,
} from './strain-values.js';
