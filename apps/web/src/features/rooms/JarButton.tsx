import './rooms.css';
import type { DrawnJar } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { FRESHNESS_WORDS, lookOfJar, STATE_WORDS } from '../../ui/drawing/jar-look.js';
import { formatShare } from '../../ui/format/index.js';

/** A jar to tap: its glass, its strain and generation on tape, and the whole of it in words for those who listen. */
export function JarButton({
  jar,
  where,
  onOpen,
  badge,
}: {
  readonly jar: DrawnJar;
  readonly where: string;
  readonly onOpen: (jar: DrawnJar) => void;
  /** A word under a jar that stands out; null lets the jar step back; left out, all are alike. */
  readonly badge?: string | null | undefined;
}) {
  return (
    <button
      type="button"
      className={badge === null ? 'jar-button jar-button--aside' : 'jar-button'}
      data-jar={jar.id}
      aria-label={badge ? `${badge}, ${jarWords(jar, where)}` : jarWords(jar, where)}
      onClick={() => onOpen(jar)}
    >
      <Glass {...lookOfJar(jar)} />
      {badge && <span className="jar-button__badge">{badge}</span>}{' '}
      <span className="jar-button__tape">
        {t('rooms.tape', { strain: jar.strainCode, generation: jar.generation })}
      </span>
    </button>
  );
}

function jarWords(jar: DrawnJar, where: string): string {
  return [
    t('rooms.tape', { strain: jar.strainCode, generation: jar.generation }),
    jar.code,
    where,
    t(STATE_WORDS[jar.state]),
    ...(jar.state === 'incubating' ? [t('rooms.white', { share: formatShare(jar.drawnShare) })] : []),
    ...(jar.freshness === 'soon' || jar.freshness === 'past' ? [t(FRESHNESS_WORDS[jar.freshness])] : []),
    ...(jar.keptAsMother ? [t('state.mother')] : []),
  ].join(', ');
}
