import { addDays, type CalendarDay, daysBetween } from '../calendar/calendar-day.js';
import { type Lineage, type LineageJar, lineageOf } from '../genealogy/lineage.js';
import { type Seen, type SuspectJar, suspicion, usualSuspicion } from '../genealogy/suspicion.js';
import { chanceOfAtLeast } from '../statistics/beta-binomial.js';
import type { Flag } from './flag.js';

/** A jar as its line sees it. */
export interface KinJar extends LineageJar {
  readonly seen: Seen | null;
  readonly onHand: boolean;
  readonly madeOn: CalendarDay;
  /** When it was found contaminated. */
  readonly badOn: CalendarDay | null;
  /** What it shared its grain and heat with: a steriliser cycle, else a grain batch; null when not known. */
  readonly load: string | null;
}

const SUSPECT = 0.8;
const FEWEST_BAD = 3;
/** Rather than chance and what also befell the other jars of the same loads. */
const HARDLY_CHANCE = 0.002;
/** Jars of a lot go bad together; so much evidence is a load's own rate worth at most. */
const WORTH_JARS = 15;
/** Until a load has jars of other mothers to compare with, the farm's rate counts for so many. */
const FARM_JARS = 4;
/** What a mother shows later than this she has caught since. */
const CARRIED_DAYS = 14;

/**
 * Mothers whose children went bad more than chance and the fate of other mothers' jars in the same loads explain, and
 * mothers found bad themselves soon after they were used; each with those of her jars that still stand. Jars not yet
 * judged count as clean, so that a young lot is not blamed for showing its bad jars first.
 * @param blamed sentences about mothers that explain an excess of contamination by themselves, by code
 */
export function badMotherFlags(
  jars: readonly KinJar[],
  asOf: CalendarDay,
  blamed: ReadonlyMap<string, string> = new Map(),
): Flag[] {
  if (jars.length === 0) return [];
  const line: Line = { lineage: lineageOf(jars), jars: new Map(jars.map((jar) => [jar.code, jar])) };
  const loads = loadsOf(jars);
  const seen = new Map(jars.flatMap(({ code, seen: looked }) => (looked === null ? [] : [[code, looked] as const])));
  const ownRisk = Math.min(0.5, Math.max(0.02, loads.farmRate));
  return suspicion(line.lineage, seen, { ...usualSuspicion, ownRisk })
    .flatMap((suspect) => flagOf(suspect, line, loads, blamed.get(suspect.code), asOf) ?? [])
    .filter(({ where }) => where.length > 0);
}

interface Line {
  readonly lineage: Lineage;
  readonly jars: ReadonlyMap<string, KinJar>;
}

function flagOf(suspect: SuspectJar, line: Line, loads: Loads, sentence: string | undefined, asOf: CalendarDay) {
  const { code } = suspect;
  const children = (line.lineage.childrenOf.get(code) ?? []).flatMap((child) => line.jars.get(child) ?? []);
  const bad = children.filter(({ badOn }) => badOn !== null);
  const spoilt =
    suspect.suspicion >= SUSPECT &&
    bad.length >= FEWEST_BAD &&
    chanceOfAtLeast(bad.length, children.length, localRate(children, loads), WORTH_JARS) < HARDLY_CHANCE;
  if (sentence !== undefined || spoilt) {
    const what = `${code} has probably spoiled her jars: ${bad.length} of ${children.length} made from her went bad.`;
    const why = sentence ?? 'So many bad jars of one mother are hardly chance, and other mothers’ jars did better.';
    return motherFlag(code, what, why, earliest(bad) ?? asOf, line, children);
  }
  const own = line.jars.get(code)?.badOn ?? null;
  const carried = own === null ? [] : children.filter(({ madeOn }) => daysBetween(madeOn, own) <= CARRIED_DAYS);
  if (own === null || carried.length === 0) return null;
  const what = `${code} was found contaminated on ${own}, within ${CARRIED_DAYS} days of making jars.`;
  return motherFlag(code, what, 'What grew in her may have gone into the jars made from her.', own, line, carried);
}

function motherFlag(
  code: string,
  what: string,
  why: string,
  since: CalendarDay,
  { jars }: Line,
  children: readonly KinJar[],
): Flag {
  const standing = children.filter(({ onHand, badOn }) => onHand && badOn === null).map((jar) => jar.code);
  return {
    ...{ cause: `bad-mother/${code}`, kind: 'bad-mother' as const, what, why, since },
    where: [...(jars.get(code)?.onHand ? [code] : []), ...standing],
    action: 'Take nothing more from her, put her standing jars apart, and look at each of them before use.',
  };
}

interface Counted {
  bad: number;
  all: number;
}

interface Loads {
  readonly byLoad: ReadonlyMap<string, Counted>;
  readonly farmRate: number;
}

function loadsOf(jars: readonly KinJar[]): Loads {
  const byLoad = new Map<string, Counted>();
  const farm: Counted = { bad: 2, all: 20 };
  for (const { load, badOn, mothers } of jars) {
    if (mothers.length === 0) continue;
    const load_ = load === null ? null : (byLoad.get(load) ?? { bad: 0, all: 0 });
    if (load !== null && load_ !== null) byLoad.set(load, load_);
    for (const counted of load_ === null ? [farm] : [farm, load_]) {
      counted.all++;
      if (badOn !== null) counted.bad++;
    }
  }
  return { byLoad, farmRate: farm.bad / farm.all };
}

/** How often jars of other mothers went bad in the loads these jars were of; the farm's rate where there are none. */
function localRate(children: readonly KinJar[], { byLoad, farmRate }: Loads): number {
  const own = new Map<string, Counted>();
  for (const { load, badOn } of children) {
    if (load === null) continue;
    const counted = own.get(load) ?? { bad: 0, all: 0 };
    own.set(load, { bad: counted.bad + Number(badOn !== null), all: counted.all + 1 });
  }
  const rates = children.map(({ load }) => {
    if (load === null) return farmRate;
    const [all, hers] = [byLoad.get(load)!, own.get(load)!];
    return (all.bad - hers.bad + FARM_JARS * farmRate) / (all.all - hers.all + FARM_JARS);
  });
  return rates.reduce((sum, rate) => sum + rate, 0) / rates.length;
}

const earliest = (bad: readonly KinJar[]): CalendarDay | null =>
  bad
    .map(({ badOn }) => badOn!)
    .reduce<CalendarDay | null>((one, day) => (one === null || day < one ? day : one), null);

export interface MissingMothers {
  readonly strainCode: string;
  readonly from: CalendarDay;
  readonly until: CalendarDay;
  readonly missing: number;
}

/** A strain's ripe jars that may still be inoculated from, against the reserve the farm set. */
export interface MothersKept {
  readonly strainCode: string;
  readonly reserve: number;
  readonly onHand: number;
}

/** What lacks this very day; what will lack by the plan, the plan says. */
export function mothersMissingNow(kept: readonly MothersKept[], asOf: CalendarDay): MissingMothers[] {
  return kept
    .filter(({ reserve, onHand }) => onHand < reserve)
    .map(({ strainCode, reserve, onHand }) => ({
      ...{ strainCode, from: asOf, until: addDays(asOf, 1), missing: reserve - onHand },
    }));
}

/** A gap further off than this is the plan's to close. */
const GAP_WITHIN_DAYS = 14;

/** Strains that lack mothers now or soon, as the newest plan sees it: from the first day on, by the most missing. */
export function fewMothersFlags(gaps: readonly MissingMothers[], asOf: CalendarDay): Flag[] {
  const soon = gaps.filter(({ from, until }) => from <= addDays(asOf, GAP_WITHIN_DAYS) && until > asOf);
  return [...new Set(soon.map(({ strainCode }) => strainCode))].map((strainCode) => {
    const own = soon.filter((gap) => gap.strainCode === strainCode);
    const from = own.map((gap) => gap.from).sort()[0]!;
    // The plan may keep part of a jar back; a mother is a whole one.
    const missing = Math.ceil(Math.max(...own.map((gap) => gap.missing)));
    return {
      ...{ cause: `few-mothers/${strainCode}`, kind: 'few-mothers' as const, where: [strainCode] },
      what: `${strainCode} ${from <= asOf ? 'lacks' : 'will lack'} ${missing} mother ${missing === 1 ? 'jar' : 'jars'}${from <= asOf ? '' : ` from ${from} on`}.`,
      since: from < asOf ? from : asOf,
      why: 'Fewer ripe jars are kept back than the reserve you set for the strain.',
      action: 'Keep back a ripe jar of the youngest generation, or order a culture.',
    };
  });
}
