export {
  type AwayPeriod,
  type BenchMinutes,
  type BenchPerson,
  benchMinutesOf,
  isAwayOn,
  rhythmOfPeople,
} from './bench-time.js';
