import { daysBetween } from '../calendar/calendar-day.js';
import type { BulkRun, FarmSituation, StockContainer, StrainProfile } from '../planning/situation.js';
import type { Morning, Policy, WantedStart, WeekDecision } from './policy.js';

/** How a rule of thumb is set. All are swept; see {@link ruleSettings}. */
export interface RuleSetting {
  /** More than needed by this share. */
  readonly allowance: number;
  /** Days earlier than needed, or days of demand more. */
  readonly earlyDays: number;
  /** Whether a run may take the mothers when nothing else is left. */
  readonly spendsMothers: boolean;
}

export type RuleName = 'fixed-ratio' | 'lot-for-lot' | 'order-up-to';

export const ruleNames: readonly RuleName[] = ['fixed-ratio', 'lot-for-lot', 'order-up-to'];

/** The settings a rule is tried with. */
export const ruleSettings: Readonly<Record<RuleName, readonly RuleSetting[]>> = {
  'fixed-ratio': grid([0.1, 0.25, 0.4, 0.6], [1, 4, 8]),
  'lot-for-lot': grid([0, 0.15, 0.3, 0.5], [1, 4, 8]),
  'order-up-to': grid([0, 0.15, 0.3, 0.5], [3, 7, 14]),
};

function grid(allowances: readonly number[], earlyDays: readonly number[]): RuleSetting[] {
  return allowances.flatMap((allowance) =>
    earlyDays.flatMap((early) =>
      [false, true].map((spendsMothers) => ({ allowance, earlyDays: early, spendsMothers })),
    ),
  );
}

/**
 * A rule of thumb. All keep the same mother reserve and order culture when the last mothers are of the last generation
 * but one, so that what differs is how much they start and when.
 */
export function rulePolicy(name: RuleName, setting: RuleSetting): Policy {
  const started = new Set<string>();
  return {
    name,
    decide: (morning) => {
      const wants = morning.seen.strains.flatMap((strain) => strainWants(name, setting, morning, strain, started));
      const kept = setting.spendsMothers ? new Set<string>() : null;
      return { ...motherWork(morning, wants), gramsForRun: new Map(), kept, handling: null, stated: [] };
    },
  };
}

function strainWants(
  name: RuleName,
  setting: RuleSetting,
  morning: Morning,
  strain: StrainProfile,
  started: Set<string>,
): WantedStart[] {
  switch (name) {
    case 'fixed-ratio':
      return fixedRatio(setting, morning, strain, started);
    case 'lot-for-lot':
      return lotForLot(setting, morning, strain);
    case 'order-up-to':
      return orderUpTo(setting, morning, strain);
  }
}

/** For every run so many jars as its target fills, and some for scrap, when it is time. */
function fixedRatio(
  { allowance, earlyDays }: RuleSetting,
  morning: Morning,
  strain: StrainProfile,
  started: Set<string>,
): WantedStart[] {
  const grams = sizeOf(morning.seen).ripeGrams;
  return runsOf(morning.seen, strain).flatMap((run) => {
    const due = morning.day + daysBetween(morning.seen.asOf, run.day) - strain.daysToRipe - earlyDays;
    const day = benchDayFor(morning, due);
    if (day === null || started.has(run.id)) return [];
    started.add(run.id);
    return [wanted(morning, strain, day, Math.ceil((run.targetGrams / grams) * (1 + allowance) - 1e-9))];
  });
}

/** Requirements planning: what stock and growing jars will not cover is started when it is time. */
function lotForLot({ allowance, earlyDays }: RuleSetting, morning: Morning, strain: StrainProfile): WantedStart[] {
  const stock = usableStock(morning.seen, strain);
  const byDay = new Map<number, number>();
  for (const run of runsOf(morning.seen, strain)) {
    const ahead = daysBetween(morning.seen.asOf, run.day);
    const short = drawDown(stock, ahead, run.targetGrams);
    const day = benchDayFor(morning, morning.day + ahead - strain.daysToRipe - earlyDays);
    if (day !== null && short > 1) byDay.set(day, (byDay.get(day) ?? 0) + short);
  }
  return [...byDay].map(([day, grams]) =>
    wanted(morning, strain, day, startsFor(morning.seen, strain, grams * (1 + allowance))),
  );
}

/** Stock and growing jars are filled up to what the runs known within the cover ask for. */
function orderUpTo({ allowance, earlyDays }: RuleSetting, morning: Morning, strain: StrainProfile): WantedStart[] {
  const cover = strain.daysToRipe + 7 + earlyDays;
  const level = runsOf(morning.seen, strain)
    .filter((run) => daysBetween(morning.seen.asOf, run.day) <= cover)
    .reduce((sum, run) => sum + run.targetGrams, 0);
  const position = usableStock(morning.seen, strain).reduce((sum, { grams }) => sum + grams, 0);
  const grams = level * (1 + allowance) - position;
  const [day] = morning.benchDays;
  return day === undefined || grams <= 1 ? [] : [wanted(morning, strain, day, startsFor(morning.seen, strain, grams))];
}

/** The last bench day of the week in time; the first one when it is late already; null when it can wait. */
function benchDayFor({ benchDays, day }: Morning, due: number): number | null {
  if (due >= day + 7) return null;
  return benchDays.filter((each) => each <= due).at(-1) ?? benchDays[0] ?? null;
}

function runsOf({ runs }: FarmSituation, strain: StrainProfile): BulkRun[] {
  return runs.filter((run) => run.strainIds[0] === strain.id).sort((one, other) => (one.day < other.day ? -1 : 1));
}

interface StockGrams {
  readonly from: number;
  readonly until: number;
  grams: number;
}

/** Expected grams by when they can be used, mothers kept back left out. */
function usableStock(seen: FarmSituation, strain: StrainProfile): StockGrams[] {
  const own = seen.stock.filter((jar) => jar.strainId === strain.id && jar.generation > 0 && !jar.keptAsMother);
  const reserve = own
    .filter((jar) => jar.generation < strain.lastGeneration && jar.state !== 'incubating' && jar.state !== 'opened')
    .sort((one, other) => one.generation - other.generation)
    .slice(0, strain.motherReserve);
  const kept = new Set(reserve.map(({ code }) => code));
  return own
    .filter(({ code }) => !kept.has(code))
    .map((jar) => stockGrams(seen, strain, jar))
    .sort((one, other) => one.until - other.until);
}

function stockGrams(seen: FarmSituation, strain: StrainProfile, jar: StockContainer): StockGrams {
  const life = strain.mayBeChilled ? strain.coldLifeDays + strain.warmLifeDays * 0.8 : strain.warmLifeDays;
  const grams = (jar.gramsLeft > 0 ? jar.gramsLeft : sizeOf(seen).ripeGrams) * (jar.survival ?? 1 - strain.lossRate);
  if (jar.state === 'opened') return { from: 0, until: seen.rhythm.openedLifeDays, grams };
  if (jar.state === 'chilled')
    return { from: 0, until: strain.coldLifeDays - daysBetween(jar.chilledOn ?? seen.asOf, seen.asOf), grams };
  const ripe = jar.ripeOn ? daysBetween(seen.asOf, jar.ripeOn) : daysBetween(seen.asOf, jar.madeOn) + strain.daysToRipe;
  return { from: Math.max(0, ripe), until: ripe + life, grams };
}

function drawDown(stock: readonly StockGrams[], day: number, grams: number): number {
  let short = grams;
  for (const part of stock) {
    if (part.from > day || part.until < day || short <= 0) continue;
    const taken = Math.min(part.grams, short);
    part.grams -= taken;
    short -= taken;
  }
  return short;
}

function startsFor(seen: FarmSituation, strain: StrainProfile, grams: number): number {
  return Math.ceil(grams / (sizeOf(seen).ripeGrams * (1 - strain.lossRate)) - 1e-9);
}

function wanted({ seen }: Morning, strain: StrainProfile, day: number, containers: number): WantedStart {
  return { day, strainId: strain.id, sizeId: sizeOf(seen).id, containers, generation: null };
}

function sizeOf({ sizes }: FarmSituation) {
  return sizes[0]!;
}

/** Mothers for what is wanted in the coming weeks, from the youngest there are; culture when those run out. */
function motherWork(morning: Morning, wants: readonly WantedStart[]): Pick<WeekDecision, 'starts' | 'cultures'> {
  const starts = wants.filter(({ containers }) => containers > 0);
  const mothers: WantedStart[] = [];
  const cultures: { strainId: string; units: number }[] = [];
  const [firstDay] = morning.benchDays;
  for (const strain of morning.seen.strains) {
    const own = morning.seen.stock.filter((jar) => jar.strainId === strain.id);
    const inoculum = weeklyInoculum(morning.seen, strain);
    const perJar = sizeOf(morning.seen).ripeGrams;
    const enough = Math.max(strain.motherReserve, 0) + Math.ceil((3 * inoculum) / perJar) + 1;
    const able = own.filter((jar) => jar.generation > 0 && jar.generation < strain.lastGeneration);
    const culture = own.filter((jar) => jar.generation === 0).reduce((sum, jar) => sum + jar.gramsLeft, 0);
    const short = enough - able.length;
    const each = strain.inoculumGramsPerContainer * sizeOf(morning.seen).inoculumFactor;
    if (short > 0 && firstDay !== undefined) {
      const generation = culture >= each ? 1 : 2;
      mothers.push({ ...wanted(morning, strain, firstDay, short), generation });
    }
    const young = able.filter((jar) => jar.generation + 1 < strain.lastGeneration).length;
    if (strain.culture && culture < 4 * each && young < 2) cultures.push({ strainId: strain.id, units: 1 });
  }
  // Mothers first: without them there is nothing next month.
  return { starts: [...mothers, ...starts], cultures };
}

function weeklyInoculum(seen: FarmSituation, strain: StrainProfile): number {
  const grams = runsOf(seen, strain).reduce((sum, run) => sum + run.targetGrams, 0);
  const weeks = Math.max(1, seen.horizonDays / 7);
  return (
    (grams / weeks / sizeOf(seen).ripeGrams) * 1.2 * strain.inoculumGramsPerContainer * sizeOf(seen).inoculumFactor
  );
}
