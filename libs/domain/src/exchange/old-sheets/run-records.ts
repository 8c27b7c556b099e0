import type { CalendarDay } from '../../calendar/calendar-day.js';
import type { FileProblem } from '../returned-book.js';
import { longNote, type RecordOf } from './jar-records.js';
import { dayValue, meaningOf, numberValue, type ReadRow, rowProblem, textValue } from './read-rows.js';
import type { FarmFacts, TableMapping, WordMeaning } from './sheet-mapping.js';

/** A bulk run of an old spreadsheet. Its day tells whether it is done. */
export interface RunRecord {
  readonly row: ReadRow;
  readonly name: string;
  readonly day: CalendarDay;
  readonly strain: WordMeaning;
  readonly substrateWetG: number;
  /** Share of the substrate's wet mass; null: the usual one of the species. */
  readonly spawnRate: number | null;
  readonly note: string | null;
  readonly done: boolean;
}

export interface HarvestRecord {
  readonly row: ReadRow;
  readonly run: WordMeaning;
  readonly day: CalendarDay;
  readonly massG: number;
  readonly flush: number;
}

const LONGEST_NAME = 80;
const LONGEST_NOTE = 500;
/** As a run that is added by hand. */
const HEAVIEST_SUBSTRATE_G = 100_000_000;
const HEAVIEST_HARVEST_G = 1_000_000;
const MOST_FLUSHES = 20;

/** @param row a row without problems whose words all have a meaning */
export function runRecord(row: ReadRow, mapping: TableMapping, farm: FarmFacts): RecordOf<RunRecord> {
  const problems: FileProblem[] = [];
  const name = textValue(row, 'run')!;
  const day = dayValue(row, 'day')!;
  const substrateWetG = numberValue(row, 'substrate')!;
  const spawnRate = numberValue(row, 'spawnRate');
  if (name.length > LONGEST_NAME)
    problems.push(
      rowProblem(row, 'run', 'out-of-range', `A name has at most ${LONGEST_NAME} characters.`, 'Shorten it.'),
    );
  if (substrateWetG < 1 || substrateWetG > HEAVIEST_SUBSTRATE_G)
    problems.push(
      rowProblem(
        row,
        'substrate',
        'out-of-range',
        'The substrate weighs 1 g to 100 t.',
        'Check the number and its unit.',
      ),
    );
  if (spawnRate !== null && (spawnRate < 0.0001 || spawnRate > 1))
    problems.push(
      rowProblem(
        row,
        'spawnRate',
        'out-of-range',
        'The spawn rate is 0.01 to 100 per cent of the wet substrate.',
        'Check the number.',
      ),
    );
  const note = row.notes.join('. ');
  problems.push(...longNote(row, note, LONGEST_NOTE));
  if (problems.length > 0) return { problems };
  const strain = meaningOf(mapping, 'strain', textValue(row, 'strain')!)!;
  return {
    noted: [],
    record: {
      row,
      name,
      day,
      strain,
      substrateWetG,
      spawnRate,
      note: note === '' ? null : note,
      done: day <= farm.today,
    },
  };
}

/** @param row a row without problems whose words all have a meaning */
export function harvestRecord(row: ReadRow, mapping: TableMapping, farm: FarmFacts): RecordOf<HarvestRecord> {
  const problems: FileProblem[] = [];
  const day = dayValue(row, 'day')!;
  const massG = numberValue(row, 'mass')!;
  const flush = numberValue(row, 'flush')!;
  if (day > farm.today)
    problems.push(rowProblem(row, 'day', 'contradiction', `${day} is still to come.`, 'Correct the day.'));
  if (massG < 0.1 || massG > HEAVIEST_HARVEST_G)
    problems.push(
      rowProblem(
        row,
        'mass',
        'out-of-range',
        'One weighing lies between 0.1 g and 1,000 kg.',
        'Check the number and its unit.',
      ),
    );
  if (flush < 1 || flush > MOST_FLUSHES)
    problems.push(
      rowProblem(row, 'flush', 'out-of-range', `The flush is 1 to ${MOST_FLUSHES}.`, 'Correct the number.'),
    );
  if (problems.length > 0) return { problems };
  return { noted: [], record: { row, run: meaningOf(mapping, 'run', textValue(row, 'run')!)!, day, massG, flush } };
}
