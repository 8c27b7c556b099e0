import type { RefusedEntry, Settle, SettledEntry } from '@jarfold/contracts';
import { type MessageKey, t } from '../../messages/translate.js';
import { entryWords } from '../../ui/entry-words.js';
import { formatMass, formatMoment } from '../../ui/format/index.js';

type JarInTheWay = RefusedEntry['jarsInTheWay'][number];
type EarlierDraw = JarInTheWay['earlier'][number];

/** One tap: what it says and what it sends. */
export interface Settlement {
  readonly key: string;
  readonly words: string;
  readonly settle: Settle;
}

/** What one tap can do, the likeliest first. */
export function settlementsOf(item: RefusedEntry): readonly Settlement[] {
  return item.ways.flatMap((way) => {
    if (way === 'take_what_is_left') {
      const leftG = item.jarsInTheWay.reduce((sum, jar) => sum + (jar.leftG ?? 0), 0);
      return { key: way, words: t('conflict.takeLeft', { mass: formatMass(leftG) }), settle: { way } };
    }
    if (way === 'take_another_jar') return item.otherJars.map(fromOtherJar);
    return { key: way, words: t(way === 'drop' ? 'conflict.drop' : 'conflict.tryAgain'), settle: { way } };
  });
}

const fromOtherJar = ({ jarId, code, leftG }: RefusedEntry['otherJars'][number]): Settlement => ({
  key: jarId,
  words: t('conflict.takeOther', { code, mass: formatMass(leftG) }),
  settle: { way: 'take_another_jar', jarId },
});

/** "Drawn for a run: Barn". */
export function entryInWords({ entry, purpose }: Pick<RefusedEntry, 'entry' | 'purpose'>): string {
  return whatFor(entry.kind, purpose);
}

export function earlierInWords({ kind, purpose }: EarlierDraw): string {
  return whatFor(kind, purpose);
}

function whatFor(kind: string, purpose: string | null): string {
  return purpose === null ? entryWords(kind) : t('conflict.whatFor', { what: entryWords(kind), purpose });
}

const SETTLED: Readonly<Record<SettledEntry['way'], MessageKey>> = {
  take_what_is_left: 'conflict.tookLeft',
  take_another_jar: 'conflict.tookAnother',
  try_again: 'conflict.tookPlace',
  drop: 'conflict.leftOut',
};

/** "It was another jar. Settled by Mara, Tue 1 Dec 08:10." */
export function settledInWords({ way, settledAt, settledBy }: SettledEntry): string {
  const who = settledBy ?? t('conflict.nameless');
  return t('conflict.settledBy', { how: t(SETTLED[way]), who, when: formatMoment(settledAt) });
}

/** "Ivo, on Bench left". */
export function whoWords({ by, tablet }: { readonly by: string | null; readonly tablet: string | null }): string {
  const who = by ?? t('conflict.nameless');
  return tablet === null ? who : t('conflict.onTablet', { who, tablet });
}

/** How much an earlier entry took; nothing to say when the jar went as a whole. */
export function takenWords({ massG, estimated }: EarlierDraw): string | null {
  if (massG === null) return null;
  return t(estimated ? 'conflict.tookAbout' : 'conflict.took', { mass: formatMass(massG) });
}

export function askedWords({ askedG }: JarInTheWay): string {
  return askedG === null ? t('conflict.wantedPart') : t('conflict.wanted', { mass: formatMass(askedG) });
}

export function leftWords({ leftG }: JarInTheWay): string {
  return leftG === null ? t('conflict.unknownJar') : t('conflict.left', { mass: formatMass(leftG) });
}
