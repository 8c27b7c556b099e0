export { type CycleRecord, type CycleVerdict, cycleVerdict, type Departure, minutesAbove } from './cycle-verdict.js';
export { holdSpans, type TraceSpan } from './hold-spans.js';
export {
  foodReference,
  holdForLethality,
  type Lethality,
  type LethalityReference,
  lethality,
  lethalityOfHold,
  lethalRate,
  pharmacyReference,
  type TracePoint,
} from './lethality.js';
export {
  type HeatMethod,
  heatMethods,
  type MethodKey,
  pressureHoldMin,
  publishedHolds,
} from './methods.js';
export { saturationPressureKpa, saturationTemperatureC } from './saturated-steam.js';
export {
  decimalReductionMin,
  type HeatResistantSpore,
  logReduction,
  spores,
  survivors,
  zFromTwo,
} from './spore-kill.js';
export {
  atmosphericPressureKpa,
  boilingPointC,
  type GaugePressure,
  gaugePressureFor,
  steamTemperatureC,
} from './standard-atmosphere.js';
export { readTrace, type TraceProblem, type TraceRead, type TraceUnit } from './trace-file.js';
