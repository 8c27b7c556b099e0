import type { BenchWarning, RefusalCode, WarningCode } from '@jarfold/domain';
import { type MessageKey, type MessageValues, t } from '../../messages/translate.js';

const IMPOSSIBLE: Readonly<Record<RefusalCode, MessageKey>> = {
  'unknown-jar': 'impossible.unknown',
  'unknown-lot': 'impossible.unknown',
  'unknown-grain-batch': 'impossible.unknown',
  'unknown-cycle': 'impossible.unknown',
  'unknown-strain': 'impossible.unknownSetting',
  'unknown-size': 'impossible.unknownSetting',
  'unknown-shelf': 'impossible.unknownSetting',
  'unknown-run': 'impossible.unknownSetting',
  'unknown-staff': 'impossible.unknownStaff',
  'unknown-entry': 'impossible.unknown',
  'id-already-used': 'impossible.idUsed',
  'code-already-used': 'impossible.codeUsed',
  'jar-twice-in-entry': 'impossible.twice',
  'jar-gone': 'impossible.gone',
  'draw-below-zero': 'impossible.belowZero',
  'nothing-left-to-draw': 'impossible.nothingLeft',
  'blank-holds-no-spawn': 'impossible.blank',
  'mother-of-other-strain': 'impossible.otherStrain',
  'mother-not-in-entry': 'impossible.motherMissing',
  'cycle-already-ended': 'impossible.cycleEnded',
  'entry-was-refused': 'impossible.wasRefused',
  'already-corrected': 'impossible.alreadyBack',
  'later-entry-in-the-way': 'impossible.laterEntry',
  'entry-not-refused': 'impossible.settledElsewhere',
  'already-settled': 'impossible.settledElsewhere',
  'not-yours-to-settle': 'impossible.notYours',
  malformed: 'impossible.malformed',
  'not-storable': 'impossible.malformed',
};

const ADVICE: Readonly<Record<WarningCode, MessageKey>> = {
  'strain-suffers-cold': 'advice.suffersCold',
  'chilled-before-ripe': 'advice.chilledUnripe',
  'already-chilled': 'advice.alreadyCold',
  'not-chilled': 'advice.notCold',
  'generation-beyond-last': 'advice.generation',
  'drawn-before-ripe': 'advice.unripe',
  'drawn-from-contaminated': 'advice.contaminated',
  'drawn-from-mother': 'advice.wasMother',
  'run-wants-other-strain': 'advice.otherStrain',
  'run-not-open': 'advice.runClosed',
  'mother-not-ripe': 'advice.motherUnripe',
  'mother-contaminated': 'advice.motherContaminated',
  'grain-step-repeated': 'advice.stepAgain',
  'grain-step-out-of-order': 'advice.stepOrder',
  'loaded-more-than-filled': 'advice.moreThanFilled',
  'filled-more-than-clean': 'advice.moreThanClean',
  'cycle-step-missing': 'advice.cycleStep',
  'cycle-not-cooled': 'advice.notCooled',
  'used-more-than-loaded': 'advice.moreThanLoaded',
  'less-colonised-than-before': 'advice.lessWhite',
  'mass-restated': 'advice.massRestated',
  'lot-code-changed': 'advice.codeChanged',
  'place-taken': 'advice.placeTaken',
  'late-entry': 'advice.late',
  'device-clock-wrong': 'advice.clock',
};

type Details = Readonly<Record<string, unknown>>;

/** Why something cannot have happened and what to do, from what this tablet knows. */
export function impossibleWords({ code, details }: { readonly code: RefusalCode; readonly details: Details }): string {
  return t(IMPOSSIBLE[code], valuesOf(details));
}

/** Advice kept with an entry. */
export function adviceWords({ code, details }: BenchWarning): string {
  return t(ADVICE[code], valuesOf(details));
}

/** Everything a sentence may name; what an obstacle does not say is an empty word in it. */
function valuesOf(details: Details): MessageValues {
  const named = Object.fromEntries(NAMES.map((name) => [name, '']));
  const given = Object.entries(details).flatMap(([name, value]) =>
    typeof value === 'string' || typeof value === 'number' ? [[name, value] as const] : [],
  );
  return { ...named, ...Object.fromEntries(given) };
}

const NAMES = ['code', 'jar', 'leftG', 'askedG', 'goneAs', 'goneOn', 'generation', 'lastGeneration', 'asked', 'given'];
