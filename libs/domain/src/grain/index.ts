export { type DryingTest, type MoistureFound, moistureFromDrying, ovenTest } from './drying-test.js';
export {
  cookingWaterMlPerG,
  type FilledJar,
  filledJar,
  type GrainBatch,
  type GrainBatchWanted,
  grainBatch,
  type JarFilling,
} from './grain-batch.js';
export { findGrain, type GrainKind, grainKinds, usualFillShare, usualTargetMoisture } from './grain-kinds.js';
export { moistureAfterSoaking, waterPerGramOfGrain } from './grain-water.js';
export { type MineralDose, type MineralRecipe, mineralDose, mineralRecipes } from './minerals.js';
export { carbonToNitrogen, type MixturePart, massToReachMoisture, mixtureMoisture } from './mixture.js';
export { type PreparationStep, preparationSteps } from './preparation-guide.js';
export { respirationLossShare, ripeMassG, spoonfulG, usualFilling, usualRipeMassG } from './ripe-mass.js';
export { type Need, type ShoppingLine, type Stocked, shoppingList } from './shopping-list.js';
