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
