import type { FileProblem } from '../returned-book.js';
import type { JarRecord } from './jar-records.js';
import { cellOf, type ReadRow, rowProblem } from './read-rows.js';
import type { HarvestRecord, RunRecord } from './run-records.js';
import type { WordMeaning } from './sheet-mapping.js';
import type { UnderstoodFile } from './understand-file.js';
import { wordKey } from './word-meanings.js';

/** What the farm has already of what a file says. Codes and names in small letters. */
export interface AlreadyHere {
  readonly jarCodes: ReadonlySet<string>;
  readonly lotCodes: ReadonlySet<string>;
  /** `name|day` of runs. */
  readonly runs: ReadonlySet<string>;
  /** Marks of rows without a code that earlier files brought. */
  readonly marks: ReadonlySet<string>;
}

/** Jars that become one lot. */
export interface LotToBring {
  /** Null: Jarfold gives the next free code. */
  readonly code: string | null;
  readonly jars: readonly { readonly record: JarRecord; readonly code: string | null }[];
}

/** What would be brought in, and what would not. */
export interface SettledFile {
  readonly lots: readonly LotToBring[];
  readonly runs: readonly RunRecord[];
  readonly harvests: readonly HarvestRecord[];
  readonly already: readonly { readonly sheet: string; readonly row: number; readonly shows: string }[];
  readonly refused: readonly FileProblem[];
  /** Marks of the rows that are brought, to know them again. */
  readonly marks: readonly string[];
}

const MOST_JARS_IN_LOT = 500;

export const runKey = (name: string, day: string): string => `${wordKey(name)}|${day}`;

/**
 * Parts what is new from what the farm has: a code names one jar, a name and a day one run, and a row without either is
 * known again by everything it says. Jars with a lot's code make that lot; the others are gathered by strain, size,
 * generation, day and supplier. Rows that name a run of the file need exactly one run of that name which is not refused.
 * @param markOf a short digest of a text
 */
export function settleFile(file: UnderstoodFile, here: AlreadyHere, markOf: (text: string) => string): SettledFile {
  const settled: Draft = { already: [], refused: [], marks: [] };
  const marks = new RowMarks(markOf);
  const inFile = onceEach(file.runs, 'run', ({ name, day }) => runKey(name, day), settled);
  const runs = inFile.filter((run) => isNewRun(run, here, settled));
  const daysOf = daysByName(inFile);
  const hasRun = (row: ReadRow, run: WordMeaning | null) => isOneRun(row, run, daysOf, settled);
  const jars = onceEach(file.jars, 'code', ({ code }) => (code === null ? null : wordKey(code)), settled)
    .filter(({ row, usedIn }) => hasRun(row, usedIn))
    .filter((record) => isNewJar(record, here, marks, settled));
  const harvests = file.harvests
    .filter(({ row, run }) => hasRun(row, run))
    .filter(({ row }) => isNewMark(row, marks.next(row), here, settled));
  return { ...settled, lots: lotsOf(jars, settled), runs, harvests };
}

interface Draft {
  readonly already: { sheet: string; row: number; shows: string }[];
  readonly refused: FileProblem[];
  readonly marks: string[];
}

/** Two rows that say the same are two rows: the mark counts them. */
class RowMarks {
  readonly #seen = new Map<string, number>();
  readonly #markOf: (text: string) => string;

  constructor(markOf: (text: string) => string) {
    this.#markOf = markOf;
  }

  next(row: ReadRow): string {
    const said = JSON.stringify(
      [...row.values].filter(([field]) => field !== 'note').sort(([a], [b]) => (a < b ? -1 : 1)),
    );
    const times = (this.#seen.get(said) ?? 0) + 1;
    this.#seen.set(said, times);
    return this.#markOf(`${said} ${times}`);
  }
}

function isNewMark(row: ReadRow, mark: string, { marks }: AlreadyHere, { already, marks: brought }: Draft): boolean {
  if (!marks.has(mark)) return brought.push(mark) > 0;
  already.push(place(row, [...row.values.values()].join(', ').slice(0, 120)));
  return false;
}

function isNewRun(run: RunRecord, { runs }: AlreadyHere, { already }: Draft): boolean {
  if (!runs.has(runKey(run.name, run.day))) return true;
  already.push(place(run.row, run.name));
  return false;
}

function isNewJar(record: JarRecord, here: AlreadyHere, marks: RowMarks, settled: Draft): boolean {
  const { code, lot, row } = record;
  if (code === null && lot === null) return isNewMark(row, marks.next(row), here, settled);
  const lotIsHere = lot !== null && here.lotCodes.has(wordKey(lot));
  if (code === null ? lotIsHere : here.jarCodes.has(wordKey(code))) {
    settled.already.push(place(row, code ?? lot ?? ''));
    return false;
  }
  if (!lotIsHere) return true;
  settled.refused.push(
    rowProblem(
      row,
      'lot',
      'contradiction',
      `The farm has a lot ${lot} already, and jars cannot be added to a lot.`,
      'Give the lot another code in the file, or leave the row out.',
    ),
  );
  return false;
}

const TWICE = {
  code: {
    what: 'The code stands in % too, and names one jar only.',
    advice: 'Correct one of the two codes, or leave one of the rows out.',
  },
  run: {
    what: 'A run of this name and day stands in % too.',
    advice: 'Give each run a name of its own, or leave one of the rows out.',
  },
} as const;

/** A code stands on one jar, a name and a day on one run: the second row with it is refused. */
function onceEach<T extends { readonly row: ReadRow }>(
  records: readonly T[],
  field: keyof typeof TWICE,
  keyOf: (record: T) => string | null,
  { refused }: Draft,
): readonly T[] {
  const seen = new Map<string, ReadRow>();
  const { what, advice } = TWICE[field];
  return records.filter((record) => {
    const key = keyOf(record);
    const first = key === null ? undefined : seen.get(key);
    if (key !== null && first === undefined) seen.set(key, record.row);
    if (first === undefined) return true;
    const where = `${first.table.sheet}!${cellOf(first, field)}`;
    refused.push(
      rowProblem(
        record.row,
        field,
        'repeated-id',
        what.replace('%', () => where),
        advice,
      ),
    );
    return false;
  });
}

function daysByName(runs: readonly RunRecord[]): ReadonlyMap<string, readonly string[]> {
  const days = new Map<string, string[]>();
  for (const { name, day } of runs) days.set(wordKey(name), [...(days.get(wordKey(name)) ?? []), day]);
  return days;
}

/** Whether a row that names a run of the file names one that comes in or is here: never the likeliest of several. */
function isOneRun(
  row: ReadRow,
  run: WordMeaning | null,
  daysOf: ReadonlyMap<string, readonly string[]>,
  { refused }: Draft,
): boolean {
  if (run?.to !== 'run-in-file') return true;
  const days = daysOf.get(wordKey(run.name)) ?? [];
  if (days.length === 1) return true;
  refused.push(
    days.length === 0
      ? rowProblem(
          row,
          'run',
          'unknown-name',
          `The row of the run ${run.name} is refused or left out itself.`,
          'Correct the row of the run first, or say which run of the farm it is.',
        )
      : rowProblem(
          row,
          'run',
          'contradiction',
          `The file has runs called ${run.name} on ${days.join(' and on ')}.`,
          'Give each run a name of its own, or say which run of the farm it is.',
        ),
  );
  return false;
}

function lotsOf(jars: readonly JarRecord[], settled: Draft): readonly LotToBring[] {
  const named = new Map<string, JarRecord[]>();
  const gathered = new Map<string, JarRecord[]>();
  for (const jar of jars) {
    const [groups, key] = jar.lot === null ? [gathered, kindOf(jar)] : [named, wordKey(jar.lot)];
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [jar]);
    else if (jar.lot === null || kindOf(group[0]!) === kindOf(jar)) group.push(jar);
    else settled.refused.push(otherLot(jar, group[0]!));
  }
  return [
    ...[...named.values()].flatMap((group) => namedLot(group, settled)),
    ...[...gathered.values()].flatMap((group) =>
      inParts(group.flatMap(jarsOf)).map((part) => ({ code: null, jars: part })),
    ),
  ];
}

const meaningKey = (meaning: WordMeaning): string => JSON.stringify(meaning);
const kindOf = ({ strain, size, generation, madeOn, supplier }: JarRecord): string =>
  [meaningKey(strain), meaningKey(size), generation, madeOn, supplier ?? ''].join('|');

function otherLot(jar: JarRecord, first: JarRecord): FileProblem {
  const where = cellOf(first.row, 'lot');
  return rowProblem(
    jar.row,
    'lot',
    'contradiction',
    `Jars of one lot share strain, size, generation, day and supplier; this row differs from ${where}.`,
    'Correct the row, or give it another lot code.',
  );
}

const jarsOf = (record: JarRecord): LotToBring['jars'] =>
  Array.from({ length: record.count }, () => ({ record, code: record.code }));

function namedLot(group: readonly JarRecord[], { refused }: Draft): readonly LotToBring[] {
  const jars: LotToBring['jars'][number][] = [];
  for (const record of group) {
    if (jars.length + record.count <= MOST_JARS_IN_LOT) jars.push(...jarsOf(record));
    else
      refused.push(
        rowProblem(
          record.row,
          'lot',
          'out-of-range',
          `A lot has at most ${MOST_JARS_IN_LOT} jars.`,
          'Give the rest a lot code of its own.',
        ),
      );
  }
  return jars.length === 0 ? [] : [{ code: group[0]!.lot, jars }];
}

function inParts<T>(items: readonly T[]): readonly (readonly T[])[] {
  const parts: T[][] = [];
  for (let from = 0; from < items.length; from += MOST_JARS_IN_LOT)
    parts.push(items.slice(from, from + MOST_JARS_IN_LOT));
  return parts;
}

const place = ({ table, row }: ReadRow, shows: string) => ({ sheet: table.sheet, row, shows });
