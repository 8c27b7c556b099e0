import type { RunCoverageJson, Week, WeekPreparation, WeekRun, WeekSource, WeekStart } from '@jarfold/contracts';
import { type PlanWeek, preparationGrain, usualSourceOfGrain } from '@jarfold/domain';
import type { PlannedMove, PlannedPreparation, PlannedStart, SpawnPlan } from '@jarfold/domain/planning';
import { farmGrain } from '../farm/index.js';
import type { OrderRow, RunRow } from '../runs/index.js';
import { type FarmNames, type JarRow, placeOf } from '../stock/index.js';

/** What ids and codes of a plan stand for, so that a week can be read by a person. */
export interface WeekNames {
  readonly farm: FarmNames;
  readonly runs: ReadonlyMap<string, RunRow>;
  readonly jars: ReadonlyMap<string, JarRow>;
  readonly plan: SpawnPlan;
  /** How that plan covers each run, orders in whole jars. */
  readonly coverage: ReadonlyMap<string, RunCoverageJson>;
}

type WeekContent = Pick<
  Week,
  'benchDays' | 'preparations' | 'cultures' | 'moves' | 'runs' | 'shortages' | 'stranded' | 'impossible'
>;

export function weekContent(week: PlanWeek, names: WeekNames): WeekContent {
  return {
    benchDays: week.benchDays.map(({ day, starts }) => ({
      day,
      containers: starts.reduce((count, start) => count + start.containers, 0),
      starts: starts.map((start) => startJson(start, names)),
    })),
    preparations: week.preparations.map((preparation) => preparationJson(preparation, names)),
    cultures: week.cultures.map(({ strainId, ...culture }) => ({ ...culture, strain: strainRef(strainId, names) })),
    moves: week.moves.map((move) => moveJson(move, names)),
    runs: week.runs.flatMap((run) => runJson(run, names)),
    shortages: shortagesJson(week, names),
    stranded: week.stranded.map((container) => ({ ...container, ...jarRef(container.code, names) })),
    impossible: week.impossible.map((item) => ({ ...item })),
  };
}

/** Every code or id of a plan's week that may be a jar on hand. */
export function sourcesOf(week: PlanWeek): string[] {
  return [
    ...week.benchDays.flatMap(({ starts }) => starts.flatMap(({ mothers }) => mothers.map(({ code }) => code))),
    ...week.moves.map(({ from }) => from),
    ...week.runs.flatMap(({ uses }) => uses.map(({ from }) => from)),
    ...week.stranded.map(({ code }) => code),
  ];
}

function startJson(start: PlannedStart, names: WeekNames): WeekStart {
  const { strainId, sizeId, mothers, feeds, benchDay: _benchDay, ...rest } = start;
  return {
    ...rest,
    strain: strainRef(strainId, names),
    size: sizeRef(sizeId, names),
    mothers: mothers.map(({ code, grams }) => sourceJson(code, grams, names)),
    feeds: feeds.flatMap(({ run, grams }) => {
      const ref = runRef(run, names);
      return ref === null ? [] : [{ run: ref, grams }];
    }),
  };
}

function preparationJson(preparation: PlannedPreparation, names: WeekNames): WeekPreparation {
  const { day, benchDay, cycles, containers } = preparation;
  const toFill = containers.map(({ sizeId, count }) => ({
    volumeMl: names.farm.sizes.get(sizeId)?.volumeMl ?? 0,
    count,
  }));
  const { waterTakenUpG, ...grain } = preparationGrain(
    toFill.filter(({ volumeMl }) => volumeMl > 0),
    farmGrain(names.farm.settings),
  );
  return {
    ...{ day, benchDay, cycles },
    jars: containers.map(({ sizeId, count }) => ({ size: sizeRef(sizeId, names), count })),
    // A gram of water is a millilitre to the accuracy of any kitchen scale.
    grain: { ...grain, waterTakenUpMl: waterTakenUpG, source: usualSourceOfGrain(grain.grainKey) },
  };
}

function moveJson({ day, kind, from, containers }: PlannedMove, names: WeekNames): Week['moves'][number] {
  const { grams: _grams, ...source } = sourceJson(from, 0, names);
  return { day, kind, containers, from: source };
}

function runJson({ coverage, uses }: PlanWeek['runs'][number], names: WeekNames): WeekRun[] {
  const run = runRef(coverage.run, names);
  const covered = names.coverage.get(coverage.run);
  if (run === null || covered === undefined) return [];
  return [
    {
      run,
      strain: strainRef(coverage.strainId, names),
      coverage: covered,
      uses: uses.map(({ day, from, grams, cold }) => ({ day, cold, from: sourceJson(from, grams, names) })),
    },
  ];
}

/** Runs below their target, soonest first. Of an order only whole jars count, whatever its grams say. */
function shortagesJson(week: PlanWeek, names: WeekNames): Week['shortages'] {
  const inGrams = new Set(week.shortages.map(({ coverage }) => coverage.run));
  return [...names.plan.runs].sort(soonest).flatMap(({ run: id }) => {
    const run = runRef(id, names);
    const coverage = names.coverage.get(id);
    if (run === null || coverage === undefined || coverage.kind === 'full') return [];
    if (run.order === null && !inGrams.has(id)) return [];
    const { kind, shortGrams, limit, limitWhere, limitMessage } = coverage;
    return [
      { run, kind: kind === 'short' ? 'below-minimum' : 'below-target', shortGrams, limit, limitWhere, limitMessage },
    ];
  });
}

const soonest = (left: { readonly day: string }, right: { readonly day: string }) => left.day.localeCompare(right.day);

function sourceJson(code: string, grams: number, names: WeekNames): WeekSource {
  const jar = jarRef(code, names);
  if (jar.jarId !== null) return { kind: 'jar', label: code, grams, ...jar };
  const start = names.plan.starts.find(({ id }) => id === code);
  if (start !== undefined) {
    const label = `${strainRef(start.strainId, names).code} G${start.generation} ${start.benchDay}`;
    return { kind: 'start', label, grams, ...jar };
  }
  const culture = names.plan.cultures.find(({ id }) => id === code);
  if (culture !== undefined) {
    return {
      kind: 'culture',
      label: `${strainRef(culture.strainId, names).code} G0 ${culture.readyOn}`,
      grams,
      ...jar,
    };
  }
  // A jar that was on hand when the plan was made and is gone since.
  return { kind: 'jar', label: code, grams, ...jar };
}

function jarRef(code: string, names: WeekNames): Pick<WeekSource, 'jarId' | 'place'> {
  const jar = names.jars.get(code);
  return jar === undefined ? { jarId: null, place: null } : { jarId: jar.id, place: placeOf(names.farm, jar) };
}

function strainRef(id: string, names: WeekNames): WeekStart['strain'] {
  const strain = names.farm.strains.get(id);
  return { id, code: strain?.code ?? '', name: strain?.name ?? '' };
}

function sizeRef(id: string, names: WeekNames): WeekStart['size'] {
  return { id, name: names.farm.sizes.get(id)?.name ?? '' };
}

/** Null for a run that was taken away after the plan was made: the next plan does not know it. */
function runRef(id: string, names: WeekNames): WeekRun['run'] | null {
  const run = names.runs.get(id);
  if (run === undefined) return null;
  return { id, name: run.name, day: run.day, order: run.kind === 'order' ? orderRef(run) : null };
}

function orderRef({ jars, sizeId, sizeName, ripeGrams, handedOver, forWhom }: OrderRow): WeekRun['run']['order'] {
  return { jars, size: { id: sizeId, name: sizeName }, ripeGrams, handedOver, forWhom };
}
