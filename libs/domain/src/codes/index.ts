export {
  formatJarCode,
  formatLotCode,
  type JarCode,
  type LotCode,
  nextLotCode,
  parseJarCode,
  parseLotCode,
  readCode,
} from './lot-code.js';
export { type StrainCode, type StrainCodeProblem, strainCode, strainCodeProblem } from './strain-code.js';
