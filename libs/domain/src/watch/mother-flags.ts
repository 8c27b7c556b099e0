import { addDays, type CalendarDay } from '../calendar/calendar-day.js';
import { type LineageJar, lineageOf } from '../genealogy/lineage.js';
import { type Seen, suspicion } from '../genealogy/suspicion.js';
import type { Flag } from './flag.js';

/** A jar as its line sees it. */
export interface KinJar extends LineageJar {
  readonly seen: Seen | null;
  readonly onHand: boolean;
}

const SUSPECT = 0.8;
const FEWEST_BAD = 3;

/**
 * Mothers whose children went bad more than chance explains, with those of her jars that still stand.
 * @param blamed sentences about mothers that explain an excess of contamination by themselves, by code
 */
export function badMotherFlags(
  jars: readonly KinJar[],
  asOf: CalendarDay,
  blamed: ReadonlyMap<string, string> = new Map(),
): Flag[] {
  const seen = new Map(jars.flatMap(({ code, seen: looked }) => (looked === null ? [] : [[code, looked] as const])));
  const lineage = lineageOf(jars);
  const standing = new Set(jars.filter(({ onHand }) => onHand).map(({ code }) => code));
  return suspicion(lineage, seen)
    .filter(
      ({ code, suspicion: chance, childrenBad }) =>
        blamed.has(code) || (chance >= SUSPECT && childrenBad >= FEWEST_BAD),
    )
    .map(({ code, childrenBad, childrenSeen }) => ({
      ...{ cause: `bad-mother/${code}`, kind: 'bad-mother' as const, since: asOf },
      what: `${code} has probably spoiled her jars: ${childrenBad} of ${childrenSeen} looked at went bad.`,
      where: [code, ...(lineage.childrenOf.get(code) ?? [])].filter((each) => standing.has(each)),
      why: blamed.get(code) ?? 'So many bad jars of one mother are hardly chance.',
      action: 'Take nothing more from her, put her standing jars apart, and look at each of them before use.',
    }))
    .filter(({ where }) => where.length > 0);
}

export interface MissingMothers {
  readonly strainCode: string;
  readonly from: CalendarDay;
  readonly until: CalendarDay;
  readonly missing: number;
}

/** A gap further off than this is the plan's to close. */
const GAP_WITHIN_DAYS = 14;

/** Strains that lack mothers now or soon, as the newest plan sees it. */
export function fewMothersFlags(gaps: readonly MissingMothers[], asOf: CalendarDay): Flag[] {
  return gaps
    .filter(({ from, until }) => from <= addDays(asOf, GAP_WITHIN_DAYS) && until > asOf)
    .map(({ strainCode, from, missing }) => ({
      ...{ cause: `few-mothers/${strainCode}`, kind: 'few-mothers' as const, where: [strainCode] },
      what: `${strainCode} ${from <= asOf ? 'lacks' : `will lack from ${from} on`} ${missing} mother ${missing === 1 ? 'jar' : 'jars'}.`,
      since: from < asOf ? from : asOf,
      why: 'Fewer ripe jars are kept back than the reserve you set for the strain.',
      action: 'Keep back a ripe jar of the youngest generation, or order a culture.',
    }));
}
