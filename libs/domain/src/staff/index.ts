export {
  type AwayPeriod,
  type BenchMinutes,
  type BenchPerson,
  benchDaysFrom,
  benchMinutesOf,
  isAwayOn,
  rhythmOfPeople,
} from './bench-time.js';
