export {
  type CardinalFit,
  type CardinalTemperatures,
  daysAtTemperature,
  fitCardinals,
  type GrowthPoint,
  q10,
  relativeGrowth,
  specificGrowthPerDay,
  usualCardinals,
} from './cardinal-temperature.js';
export {
  type RipeningDays,
  type RipeningJar,
  type RipeningSettings,
  type SlowLot,
  type StrainRipening,
  slowLot,
  strainRipening,
} from './days-to-ripe.js';
export { chanceRipeBy, ripeByWithChance } from './ripe-by.js';
export { type RipeBetween, type RipenessCheck, ripeBetween } from './ripeness-checks.js';
