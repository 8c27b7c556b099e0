export {
  type AwayPeriod,
  type BenchMinutes,
  type BenchPerson,
  benchDaysFrom,
  benchMinutesOf,
  isAwayOn,
} from './bench-time.js';
