import { groupedBy } from '../grouped-by.js';
import type { AcceptedContainer, AcceptedSituation, AcceptedStrain } from './accepted-situation.js';
import type { Lot } from './field-lot.js';
import { isMotherPool } from './model-reserve.js';
import { type OpeningPaths, openingPaths } from './opening-paths.js';
import type { StartOption } from './start-options.js';
import { type BenchSlot, runDays } from './timeline.js';

/** One way a run can take place with the strain. */
export interface RunWay {
  readonly run: number;
  readonly choice: number;
  readonly day: number;
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly maxGrams: number;
  /** Cost per gram missing below the minimum and below the target. */
  readonly perGramShort: number;
  readonly perGramBelow: number;
  /** Cost per gram given because the strain is not the first choice. */
  readonly perGramOther: number;
}

/** Grams of containers that stand open on the planning day. */
export interface OpenStock {
  readonly generation: number;
  readonly motherOnly: boolean;
  readonly until: number;
  readonly grams: number;
  readonly containers: readonly AcceptedContainer[];
}

/** What a search over one strain's starts never changes: what is on hand, what may be started, what wants spawn. */
export interface StrainField {
  readonly situation: AcceptedSituation;
  readonly strain: AcceptedStrain;
  readonly slots: readonly BenchSlot[];
  readonly options: readonly StartOption[];
  /** On hand first, then one for each start option, in their order. */
  readonly lots: readonly Lot[];
  readonly stockLots: number;
  readonly opened: readonly OpenStock[];
  readonly cultures: readonly AcceptedContainer[];
  readonly ways: readonly RunWay[];
  readonly useDays: readonly number[];
  readonly paths: OpeningPaths;
}

/** On the first handling days after it is ripe a container is put into the cold, or not at all. */
export const CHILLING_DAYS_OFFERED = 2;

/** Arranges one strain's part of the farm. */
export function strainField(
  situation: AcceptedSituation,
  strain: AcceptedStrain,
  slots: readonly BenchSlot[],
  handlingDays: readonly number[],
  options: readonly StartOption[],
): StrainField {
  const chillDays = (from: number, until: number) => daysToChill(situation, strain, handlingDays, from, until);
  const stock = stockLots(situation, strain, chillDays);
  const started = options.map((option, place): Lot => {
    const until = option.ripeDay + strain.warmLifeDays;
    const { generation, size, gramsEach, ripeDay } = option;
    const isMother = isMotherPool(option, strain);
    const chilled = chillDays(ripeDay, until);
    const shared = { generation, size, gramsEach, isMother, from: ripeDay, until, chillDays: chilled };
    return { ...shared, motherOnly: false, inCold: false, onHand: [], option: place };
  });
  const lots = [...stock, ...started];
  const ways = runWays(situation, strain);
  const useDays = [...new Set([...ways.map((way) => way.day), ...slots.map((slot) => slot.day)])].sort(ascending);
  return {
    situation,
    strain,
    slots,
    options,
    lots,
    stockLots: stock.length,
    opened: openStock(situation, strain),
    cultures: situation.containers.filter((each) => each.strain === strain.index && each.kind === 'culture'),
    ways,
    useDays,
    paths: openingPaths(
      situation,
      strain,
      lots,
      useDays,
      ways.map((way) => way.day),
    ),
  };
}

/** The highest generation there is of the strain or may be made: stock may be older than what is made. */
export function oldestGeneration({ lots, opened, strain }: StrainField): number {
  return Math.max(
    strain.lastGeneration,
    ...lots.map((lot) => lot.generation),
    ...opened.map((each) => each.generation),
  );
}

function daysToChill(
  situation: AcceptedSituation,
  { mayBeChilled, coldLifeDays }: AcceptedStrain,
  handlingDays: readonly number[],
  from: number,
  until: number,
): number[] {
  if (!mayBeChilled || coldLifeDays === 0 || situation.coldPlaces === 0) return [];
  return handlingDays
    .filter((day) => from <= day && day <= until && day < situation.horizon)
    .slice(0, CHILLING_DAYS_OFFERED);
}

function stockLots(
  situation: AcceptedSituation,
  strain: AcceptedStrain,
  chillDays: (from: number, until: number) => readonly number[],
): Lot[] {
  const own = situation.containers.filter(
    ({ strain: of, kind }) => of === strain.index && (kind === 'warm' || kind === 'cold'),
  );
  const groups = groupedBy(own, ({ kind, generation, size, grams, keptAsMother, from, until }) =>
    [kind, generation, size, grams.toFixed(4), keptAsMother, from, until].join('|'),
  );
  return [...groups.values()].map((group): Lot => {
    const { kind, generation, size, grams, keptAsMother, from, until } = group[0]!;
    const onHand = [...group].sort((one, other) => (one.code < other.code ? -1 : 1));
    return {
      generation,
      size,
      gramsEach: grams,
      motherOnly: keptAsMother,
      isMother: isMotherPool({ strain: strain.index, generation }, strain),
      inCold: kind === 'cold',
      from,
      until,
      chillDays: kind === 'cold' ? [] : chillDays(from, until),
      onHand,
      option: null,
    };
  });
}

function openStock(situation: AcceptedSituation, strain: AcceptedStrain): OpenStock[] {
  const own = situation.containers.filter(({ strain: of, kind }) => of === strain.index && kind === 'opened');
  const groups = groupedBy(own, ({ generation, keptAsMother, until }) => [generation, keptAsMother, until].join('|'));
  return [...groups.values()].map((containers) => {
    const { generation, keptAsMother, until } = containers[0]!;
    const grams = containers.reduce((sum, container) => sum + container.grams, 0);
    return { generation, motherOnly: keptAsMother, until, grams, containers };
  });
}

/** The ways a run can take place, in the order in which a plan names them: by strain, then by day. */
export function waysOf(run: AcceptedSituation['runs'][number]): { readonly strain: number; readonly day: number }[] {
  return run.strains.flatMap((strain) => runDays(run).map((day) => ({ strain, day })));
}

function runWays({ runs, costs }: AcceptedSituation, strain: AcceptedStrain): RunWay[] {
  return runs.flatMap((run) =>
    waysOf(run).flatMap((way, choice): RunWay[] => {
      if (way.strain !== strain.index) return [];
      const { minGrams, targetGrams, maxGrams, weight } = run;
      return [
        {
          run: run.index,
          choice,
          day: way.day,
          minGrams,
          targetGrams,
          maxGrams,
          perGramShort: costs.perGramShort * weight,
          perGramBelow: costs.perGramBelowTarget * weight,
          perGramOther: costs.perGramSecondChoice * run.strains.indexOf(strain.index),
        },
      ];
    }),
  );
}

function ascending(one: number, other: number): number {
  return one - other;
}
