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
}: {
  readonly jar: DrawnJar;
  readonly where: string;
  readonly onOpen: (jar: DrawnJar) => void;
}) {
  return (
    <button
      type="button"
      className="jar-button"
      data-jar={jar.id}
      aria-label={jarWords(jar, where)}
      onClick={() => onOpen(jar)}
    >
      <Glass {...lookOfJar(jar)} />
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
