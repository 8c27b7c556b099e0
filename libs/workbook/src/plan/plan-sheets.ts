import { addDays, coverageKind, type PlannedStart, type RunCoverage, type SpawnPlan } from '@jarfold/domain';
import type { FarmWorkbook } from '../farm/read-farm.js';
import type { DraftColumn, DraftValue, SheetDraft } from '../writing/sheet-draft.js';
import { cautionsFor } from './cautions.js';
import { describeLimit } from './describe-limit.js';
import { describeWork, feedList, motherList } from './describe-work.js';
import { grainList } from './grain-list.js';
import { costInBrief, runsInBrief, weekInBrief } from './plan-summary.js';
import { longDay } from './plan-words.js';
import { type SourceName, sourceNames } from './sources-of.js';
import { WEEK_DAYS, weekWork } from './week-work.js';

const DAY = 'ddd d mmm yyyy';
const GRAMS = '#,##0';

const text = (header: string, width: number): DraftColumn => ({ header, width, format: '@', wrap: true });
const day = (header: string): DraftColumn => ({ header, width: 16, format: DAY });
const grams = (header: string, total = false): DraftColumn => ({ header, width: 11, format: GRAMS, total });
const count = (header: string, total = false): DraftColumn => ({ header, width: 8, format: '0', total });

export function weekSheet(plan: SpawnPlan, farm: FarmWorkbook): SheetDraft {
  const work = weekWork(plan);
  const last = addDays(plan.asOf, WEEK_DAYS - 1);
  return {
    name: 'This week',
    title: [
      `Spawn work, ${longDay(plan.asOf)} to ${longDay(last)}`,
      weekInBrief(work, farm),
      runsInBrief(plan.runs),
      ...cautionsFor(work),
    ],
    columns: [day('Day'), text('Work', 14), text('What', 34), text('From', 44), text('For', 40), text('Done', 8)],
    rows: describeWork(work, plan, farm).map((line) => [
      { day: line.day },
      line.work,
      line.what,
      line.from,
      line.purpose,
      '☐',
    ]),
    whenEmpty: 'Nothing to do this week.',
  };
}

export function startSheet(plan: SpawnPlan): SheetDraft {
  const source = sourceNames(plan);
  return {
    name: 'Plan',
    title: ['Everything to start', costInBrief(plan)],
    columns: [
      day('Bench day'),
      text('Strain', 18),
      { header: 'Generation', width: 11, format: '0' },
      text('Size', 16),
      count('Jars', true),
      text('Mothers', 44),
      text('For', 44),
      day('Ripe on'),
      day('Last safe day'),
    ],
    rows: plan.starts.map((start) => startRow(start, source)),
    whenEmpty: 'Nothing to start.',
  };
}

function startRow(start: PlannedStart, source: SourceName): readonly DraftValue[] {
  return [
    { day: start.benchDay },
    start.strainId,
    start.generation,
    start.sizeId,
    start.containers,
    motherList(start, source),
    feedList(start),
    { day: start.ripeOn },
    { day: start.lastSafeDay },
  ];
}

export function preparationSheet(plan: SpawnPlan, farm: FarmWorkbook): SheetDraft {
  return {
    name: 'Preparation',
    title: ['Grain, jars and steriliser loads', 'Grain as bought, five in a hundred spare included.'],
    columns: [
      day('Day'),
      day('For bench day'),
      count('Loads', true),
      text('Jars', 30),
      text('Grain', 14),
      grams('Grain g', true),
      { header: 'Water ml', width: 11, format: GRAMS, total: true },
      grams('Gypsum g', true),
      grams('Chalk g', true),
    ],
    rows: plan.preparations.map((preparation) => {
      const list = grainList(preparation, farm);
      const jars = preparation.containers.map((each) => `${each.count} × ${each.sizeId}`).join(', ');
      const [grainG, waterMl, gypsumG, chalkG] = [list.grainG, list.cookingWaterMl, list.gypsumG, list.chalkG].map(
        Math.round,
      );
      return [
        { day: preparation.day },
        { day: preparation.benchDay },
        preparation.cycles,
        jars,
        list.grain,
        grainG ?? 0,
        waterMl ?? 0,
        gypsumG ?? 0,
        chalkG ?? 0,
      ];
    }),
    whenEmpty: 'Nothing to prepare.',
  };
}

export function useSheet(plan: SpawnPlan): SheetDraft {
  const source = sourceNames(plan);
  const uses = plan.uses.flatMap((use) => (use.to.kind === 'run' ? [{ ...use, run: use.to.run }] : []));
  return {
    name: 'Uses',
    title: ['Spawn into runs'],
    columns: [day('Day'), text('Run', 20), text('From', 30), grams('Grams', true), text('From the cold', 14)],
    rows: uses.map((use) => [
      { day: use.day },
      use.run,
      source(use.from),
      Math.round(use.grams),
      use.cold ? 'yes' : 'no',
    ]),
    whenEmpty: 'No spawn goes into a run.',
  };
}

const STANDING = { full: 'target', covered: 'minimum', short: 'short' } as const;

export function runSheetOf(plan: SpawnPlan): SheetDraft {
  return {
    name: 'Runs',
    title: ['Bulk runs and how far they are covered', runsInBrief(plan.runs)],
    columns: [
      day('Day'),
      text('Run', 20),
      text('Strain', 18),
      grams('Minimum g'),
      grams('Target g', true),
      grams('Covered g', true),
      { header: 'Covered', width: 10, format: '0%' },
      text('Reaches', 10),
      text('Limit and what would lift it', 60),
    ],
    rows: plan.runs.map(runRow),
    marked: (row) => row[7] === STANDING.short,
    whenEmpty: 'No bulk runs are intended.',
  };
}

function runRow(run: RunCoverage): readonly DraftValue[] {
  return [
    { day: run.day },
    run.run,
    run.strainId,
    run.minGrams,
    run.targetGrams,
    Math.round(run.coveredGrams),
    run.targetGrams > 0 ? run.coveredGrams / run.targetGrams : 1,
    STANDING[coverageKind(run)],
    describeLimit(run),
  ];
}

export function strandedSheet(plan: SpawnPlan, { situation }: FarmWorkbook): SheetDraft {
  const source = sourceNames(plan);
  return {
    name: 'Stranded',
    title: ['Spawn that will be too old before any use'],
    columns: [text('Jar', 24), text('Strain', 18), text('Place', 18), grams('Grams', true), day('Good until')],
    rows: plan.stranded.map((container) => {
      const jar = situation.stock.find(({ code }) => code === container.code);
      const strain = jar?.strainId ?? plan.starts.find(({ id }) => id === container.code)?.strainId ?? '';
      return [
        source(container.code),
        strain,
        jar?.roomId ?? '',
        Math.round(container.grams),
        { day: container.expires },
      ];
    }),
    whenEmpty: 'None.',
  };
}

export function moveSheet(plan: SpawnPlan): SheetDraft {
  const source = sourceNames(plan);
  const moves = plan.moves.map((move) => ({
    day: move.day,
    what: move.kind === 'chill' ? 'into the cold' : 'out of the cold',
    from: source(move.from),
    containers: move.containers,
  }));
  const cultures = plan.cultures.map((culture) => ({
    day: culture.orderBy,
    what: `order culture, ready ${longDay(culture.readyOn)}`,
    from: culture.strainId,
    containers: culture.units,
  }));
  return {
    name: 'Moves',
    title: ['Chill, warm up, order'],
    columns: [day('Day'), text('What', 34), text('Jar or strain', 34), count('Count')],
    rows: [...moves, ...cultures]
      .sort((a, b) => a.day.localeCompare(b.day))
      .map((move) => [{ day: move.day }, move.what, move.from, move.containers]),
    whenEmpty: 'Nothing to move.',
  };
}

export function noteSheet(plan: SpawnPlan, { notices }: FarmWorkbook): SheetDraft {
  const rows: DraftValue[][] = [
    ...plan.impossible.map(({ subject, message }) => ['Cannot be planned', subject, message]),
    ...plan.reserveGaps.map(({ strainId, from, until, missing }) => [
      'Mother reserve',
      strainId,
      `${missing} missing from ${longDay(from)} until ${longDay(until)}`,
    ]),
    ...notices.map(({ sheet, cell, message }) => [
      'Noted while reading',
      [sheet, cell].filter(Boolean).join('!'),
      message,
    ]),
  ];
  return {
    name: 'Notes',
    title: ['What the plan could not do, and what was noted while reading'],
    columns: [text('Kind', 22), text('About', 24), text('Note', 90)],
    rows,
    whenEmpty: 'Nothing to note.',
  };
}
