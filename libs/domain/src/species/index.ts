export { otherSpecies, speciesCatalogue } from './catalogue.js';
export { everyPublishedValue, type PublishedEntry } from './every-published-value.js';
export { findSpecies, type SpeciesFound } from './find-species.js';
export { type Confidence, confidences, customary, type Published, published } from './published-value.js';
export { type Source, type SourceKey, sources } from './sources.js';
export type { CroppingDefaults, SpawnDefaults, SpeciesProfile } from './species-profile.js';
export { type StrainDefaults, strainDefaults } from './strain-defaults.js';
