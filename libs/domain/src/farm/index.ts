export {
  type ContainerValues,
  containerValues,
  type FarmGrain,
  farmFilling,
  knownGrain,
  referenceRipeGrams,
  referenceVolumeMl,
  usualInoculumFactor,
} from './container-values.js';
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
