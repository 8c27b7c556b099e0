import {
  type BookJar,
  type FileUnits,
  largeMass,
  largeMassUnit,
  shownTemperature,
  temperatureUnitShown,
  type WeeklyBook,
} from '@jarfold/domain';
import { longDay } from '../plan/plan-words.js';
import type { DraftColumn, DraftValue, SheetDraft } from '../writing/sheet-draft.js';
import { countColumn, dayColumn, massColumn, shownMass, text } from './book-columns.js';
import { STRAIN_CODES_NAME } from './run-sheet.js';

/** Defined name of the day the workbook is for: ages are reckoned from it. */
export const AS_OF_NAME = 'as_of';

export function planSheetDraft({ starts, units, planAsOf }: WeeklyBook): SheetDraft {
  return {
    name: 'Plan',
    title: ['Everything to start', planAsOf === null ? 'There is no plan yet.' : `Planned ${longDay(planAsOf)}.`],
    columns: [
      dayColumn('Bench day', units),
      text('Strain', 10),
      countColumn('Generation', { width: 11 }),
      text('Size', 16),
      countColumn('Jars', { total: true, bar: true }),
      text('Mothers', 44),
      text('For', 44),
      dayColumn('Ripe on', units),
      dayColumn('Last safe day', units),
    ],
    rows: starts.map((start) => [
      { day: start.benchDay },
      start.strain,
      start.generation,
      start.size,
      start.containers,
      start.mothers,
      start.purpose,
      { day: start.ripeOn },
      { day: start.lastSafeDay },
    ]),
    whenEmpty: 'Nothing to start.',
  };
}

const daysLeft: DraftColumn = countColumn('Days left', {
  align: 'right',
  formula: (at) => `IF(${at('Good until')}="","",${at('Good until')}-${AS_OF_NAME})`,
});
/** Within a week of being too old. */
const ageing = {
  look: 'care',
  when: (at: (header: string) => string) => `AND(ISNUMBER(${at('Days left')}),${at('Days left')}<7)`,
} as const;

export function jarSheetDraft({ jars, units, asOf }: WeeklyBook): SheetDraft {
  return {
    name: 'Jars',
    title: [
      'Jars on hand',
      `${longDay(asOf)}: ${jars.length} jars. What happens to a jar is told at the bench, not here.`,
    ],
    columns: [
      text('Jar', 18, { wrap: false }),
      text('Strain', 10, { wrap: false }),
      countColumn('Generation', { width: 11 }),
      text('Size', 14, { wrap: false }),
      text('State', 13, { wrap: false }),
      dayColumn('Made on', units),
      countColumn('Age days', { formula: (at) => `${AS_OF_NAME}-${at('Made on')}` }),
      dayColumn('Ripe on', units),
      text('Ripe', 10, { wrap: false }),
      { header: 'Colonised', width: 10, format: '0%', bar: true },
      massColumn('Left', units, { total: true }),
      text('Room', 16, { wrap: false }),
      text('Shelf', 14, { wrap: false }),
      dayColumn('Good until', units),
      daysLeft,
      text('Mother', 9, { wrap: false }),
    ],
    rows: lazily(jars, (jar) => jarRow(jar, asOf, units)),
    highlights: [ageing],
    whenEmpty: 'No jars on hand.',
  };
}

function jarRow(jar: BookJar, asOf: WeeklyBook['asOf'], units: FileUnits): DraftValue[] {
  return [
    jar.code,
    jar.strain,
    jar.generation,
    jar.size,
    jar.state,
    { day: jar.madeOn },
    daysFrom(jar.madeOn, asOf),
    dayOrNull(jar.ripeOn),
    jar.ripeOn === null ? null : jar.ripeExpected ? 'expected' : 'seen',
    jar.colonised,
    shownMass(jar.leftG, units),
    jar.room,
    jar.shelf,
    dayOrNull(jar.expiresOn),
    jar.expiresOn === null ? '' : daysFrom(asOf, jar.expiresOn),
    jar.mother ? 'kept' : null,
  ];
}

export function coldSheetDraft({ jars, units, asOf }: WeeklyBook): SheetDraft {
  const cold = jars
    .filter(({ state }) => state === 'chilled')
    .sort((a, b) => (a.expiresOn ?? '9').localeCompare(b.expiresOn ?? '9') || a.code.localeCompare(b.code));
  return {
    name: 'Cold store',
    title: ['Chilled jars, soonest first', `${longDay(asOf)}: ${cold.length} jars in the cold.`],
    columns: [
      text('Jar', 18, { wrap: false }),
      text('Strain', 10, { wrap: false }),
      countColumn('Generation', { width: 11 }),
      dayColumn('Chilled on', units),
      countColumn('Days cold', {
        align: 'right',
        formula: (at) => `IF(${at('Chilled on')}="","",${AS_OF_NAME}-${at('Chilled on')})`,
      }),
      dayColumn('Good until', units),
      daysLeft,
      massColumn('Left', units, { total: true, bar: true }),
      text('Room', 16, { wrap: false }),
      text('Shelf', 14, { wrap: false }),
      text('Mother', 9, { wrap: false }),
    ],
    rows: cold.map((jar) => [
      jar.code,
      jar.strain,
      jar.generation,
      dayOrNull(jar.chilledOn),
      jar.chilledOn === null ? '' : daysFrom(jar.chilledOn, asOf),
      dayOrNull(jar.expiresOn),
      jar.expiresOn === null ? '' : daysFrom(asOf, jar.expiresOn),
      shownMass(jar.leftG, units),
      jar.room,
      jar.shelf,
      jar.mother ? 'kept' : null,
    ]),
    highlights: [ageing],
    whenEmpty: 'Nothing in the cold.',
  };
}

export function contaminationSheetDraft({ contamination }: WeeklyBook): SheetDraft {
  const weeks = contamination.filter(({ by }) => by === 'week').length;
  return {
    name: 'Contamination',
    title: [
      'Contamination',
      'Of jars whose fate is known. "From" and "to" is the 95 % interval (Wilson): few jars, wide interval.',
      'A week has a rate once half of its jars are known: bad jars show first, so before that the rate is too high.',
    ],
    columns: [
      text('By', 17),
      text('What', 22),
      countColumn('Jars made'),
      countColumn('Fate known'),
      countColumn('Contaminated', { width: 14 }),
      {
        ...{ header: 'Rate', width: 10, format: '0.0%', bar: true, align: 'right' },
        formula: (at) =>
          `IF(OR(${at('Fate known')}=0,2*${at('Fate known')}<${at('Jars made')}),"",${at('Contaminated')}/${at('Fate known')})`,
      },
      { header: 'From', width: 9, format: '0.0%' },
      { header: 'To', width: 9, format: '0.0%' },
    ],
    rows: contamination.map((rate) => {
      const { by, what, made, settled, contaminated, low, high } = rate;
      return [
        by,
        what,
        made,
        settled,
        contaminated,
        ...(isTold(rate) ? [contaminated / settled, low, high] : ['', '', '']),
      ];
    }),
    whenEmpty: 'No lots in the last 26 weeks.',
    ...(weeks > 1
      ? {
          chart: {
            title: 'Contaminated share by week of making',
            categories: 'What',
            values: 'Rate',
            format: '0%',
            lastRows: weeks,
          },
        }
      : {}),
  };
}

const isTold = ({ made, settled }: WeeklyBook['contamination'][number]): boolean => settled > 0 && 2 * settled >= made;

export function harvestSheetDraft({ harvests, units }: WeeklyBook): SheetDraft {
  const unit = largeMassUnit(units);
  const heading = (what: string) => `${what} ${unit}`;
  const mass = (what: string, more: Partial<DraftColumn> = {}): DraftColumn => ({
    ...{ header: heading(what), width: 12, format: '#,##0.00' },
    ...more,
  });
  const flushes = ['Flush 1', 'Flush 2', 'Later'] as const;
  return {
    name: 'Harvest',
    title: ['Harvest by run', 'Biological efficiency (BE): fresh mushrooms per dry substrate so far.'],
    columns: [
      text('Run', 26),
      dayColumn('Spawned on', units),
      mass('Dry substrate', { width: 13 }),
      ...flushes.map((flush) => mass(flush, { total: true })),
      mass('Picked', {
        ...{ total: true, bar: true },
        formula: (at) => flushes.map((flush) => at(heading(flush))).join('+'),
      }),
      {
        header: 'BE %',
        width: 9,
        format: '0.0',
        formula: (at) => `100*${at(heading('Picked'))}/${at(heading('Dry substrate'))}`,
      },
      dayColumn('Last picked', units),
    ],
    rows: harvests.map((run) => harvestRow(run, units)),
    whenEmpty: 'Nothing spawned in the last year.',
  };
}

function harvestRow(run: WeeklyBook['harvests'][number], units: FileUnits): DraftValue[] {
  const [dry, first, second, later] = [run.substrateDryG, run.firstFlushG, run.secondFlushG, run.laterFlushesG].map(
    (massG) => largeMass(massG, units),
  ) as [number, number, number, number];
  const picked = first + second + later;
  return [
    run.run,
    { day: run.spawnedOn },
    ...[dry, first, second, later, picked],
    (100 * picked) / dry,
    dayOrNull(run.lastPickedOn),
  ];
}

export function listSheetDraft({ lists, units, asOf, madeAt, week }: WeeklyBook): SheetDraft {
  const facts: readonly (readonly [string, DraftValue])[] = [
    ['As of', asOf],
    ['Week', week],
    ['Made at', madeAt],
  ];
  const rows = Math.max(lists.strains.length, lists.sizes.length, lists.rooms.length, facts.length);
  return {
    name: 'Lists',
    title: ['Lists', 'What the other sheets refer to.'],
    columns: [
      text('Strain', 10),
      text('Strain name', 24),
      text('Species', 26),
      countColumn('Days to ripe'),
      text('Size', 18),
      { header: 'Volume ml', width: 11, format: '#,##0' },
      massColumn('Ripe', units),
      text('Room', 18),
      text('Kind', 13),
      { header: `Temperature ${temperatureUnitShown(units)}`, width: 14, format: '0.#' },
      text('About this file', 16),
      text('Value', 24),
    ],
    rows: Array.from({ length: rows }, (_, at) => {
      const [strain, size, room, fact] = [lists.strains[at], lists.sizes[at], lists.rooms[at], facts[at]];
      return [
        strain?.code ?? null,
        strain?.name ?? null,
        strain?.species ?? null,
        strain?.daysToRipe ?? null,
        size?.name ?? null,
        size?.volumeMl ?? null,
        size ? shownMass(size.ripeG, units) : null,
        room?.name ?? null,
        room?.kind ?? null,
        room?.temperatureC == null ? null : shownTemperature(room.temperatureC, units),
        fact?.[0] ?? null,
        fact?.[1] ?? null,
      ];
    }),
    names: { Strain: STRAIN_CODES_NAME },
  };
}

const dayOrNull = (day: WeeklyBook['asOf'] | null): DraftValue => (day === null ? null : { day });

const DAY_MS = 86_400_000;
const daysFrom = (from: string, to: string) => Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS);

/** Rows made when they are written. */
function lazily<T>(items: readonly T[], row: (item: T) => DraftValue[]): Iterable<DraftValue[]> {
  return {
    *[Symbol.iterator]() {
      for (const item of items) yield row(item);
    },
  };
}
