import type { Attribution } from '../contamination/attribution/attribute.js';
import { causeSentence } from '../contamination/attribution/cause-sentence.js';
import type { LevelReport } from '../contamination/attribution/level-report.js';
import type { FactorLevel } from '../contamination/attribution/observed-lot.js';
import { SHARED_SINCE } from '../rates/contamination-causes.js';
import type { Estimate, NotEnoughData } from '../statistics/estimate.js';

/** What a shift of the rate is put down to, in plain English. */
export interface Explained {
  /** The single factors named, of which one is likely; none where all lots are worse alike or nothing can be told. */
  readonly members: readonly FactorLevel[];
  readonly why: string;
  readonly action: string;
}

/**
 * What explains a shift: the factor or set of factors that chance hardly accounts for; else the one that looks worst, told
 * as a suspicion; else that there is not enough data.
 * @param found among the lots since the shift began
 * @param inWords what a level is called, such as `grain batch G12`
 */
export function explained(found: Attribution | NotEnoughData, inWords: (level: FactorLevel) => string): Explained {
  if (found.kind !== 'attribution') return { members: [], why: NOT_ENOUGH, action: KEEP_BLANKS };
  const name = (level: FactorLevel) =>
    level.factor === SHARED_SINCE ? `something all lots since ${level.level} share` : inWords(level);
  const [cause] = found.causes;
  if (cause !== undefined) {
    const members = cause.members.filter(({ factor }) => factor !== SHARED_SINCE);
    return { members, why: sentence(causeSentence(cause, name)), action: actionFor(members, cause.members.length) };
  }
  const suspect = worstOf(found.levels);
  if (suspect === null) return { members: [], why: NOT_ENOUGH, action: KEEP_BLANKS };
  const members = suspect.factor === SHARED_SINCE ? [] : [{ factor: suspect.factor, level: suspect.level }];
  return { members, why: suspicionOf(suspect, name), action: members.length === 0 ? SHARED : TRY_APART };
}

const NOT_ENOUGH = 'There is not enough data to tell which factor explains it.';
const KEEP_BLANKS =
  'Keep a blank of every steriliser load, and note mother, batch and cycle of every lot: then the cause shows.';
const APART = 'Put that factor apart: use another for the next lots, and compare.';
const TRY_APART = 'If you can, make the next lots with another and compare: that settles whether it is the cause.';
const ONE_OF_THEM = 'Change one of them for the next lots and keep the others: then your records tell which it is.';
const SHARED =
  'Look for what changed for all lots then: water, alcohol, filters, seals, the steriliser, the room of work. A blank in every load tells the steriliser from the hands.';

function actionFor(named: readonly FactorLevel[], together: number): string {
  if (named.length === 0) return SHARED;
  return together === 1 ? APART : ONE_OF_THEM;
}

interface Suspect extends LevelReport {
  readonly oddsRatio: Estimate;
}

/** Of the levels worse than the rest by themselves, the one that is so most surely. */
function worstOf(levels: readonly LevelReport[]): Suspect | null {
  const suspects = levels.filter((level): level is Suspect => level.verdict === 'suspected');
  return suspects.sort((one, other) => other.oddsRatio.low - one.oddsRatio.low)[0] ?? null;
}

function suspicionOf(suspect: Suspect, name: (level: FactorLevel) => string): string {
  const { oddsRatio, contaminated, jars, lots } = suspect;
  const ratio = `${oddsRatio.value.toFixed(1)} (${oddsRatio.low.toFixed(1)} to ${oddsRatio.high.toFixed(1)})`;
  return `Not sure yet: ${name(suspect)} is suspected, with ${((100 * contaminated) / jars).toFixed(0)} % of ${jars} jars in ${lots} lots, odds ${ratio} times those of the rest. Chance may explain it still.`;
}

const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
