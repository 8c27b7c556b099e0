import type { CalendarDay, Jar } from '@jarfold/domain';
import { memo } from 'react';
import { t } from '../../messages/translate.js';
import type { FarmFacts } from '../../offline/index.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { STATE_WORDS } from '../../ui/drawing/jar-look.js';
import { useBench } from './bench-context.js';
import { type JarFacts, jarFacts, lookOf } from './jar-facts.js';
import { pressed } from './pressed.js';

interface TileProps {
  readonly jar: Jar;
  readonly chosen?: boolean;
  readonly onTap: (jar: Jar) => void;
}

/** A jar to tap. Its glass shows how it stands, the tape its strain and number; the whole of it is said in words. */
export function JarTile(props: TileProps) {
  const { farm, today } = useBench();
  return <DrawnTile {...props} farm={farm} today={today} />;
}

/** Of a shelf of many, a tap changes one: the others stay as they are drawn. */
export const DrawnTile = memo(function DrawnTile({
  jar,
  chosen,
  onTap,
  farm,
  today,
}: TileProps & { readonly farm: FarmFacts; readonly today: CalendarDay }) {
  const facts = jarFacts(farm, jar, today);
  return (
    <button
      type="button"
      className={`jar-tile ${chosen ? 'jar-tile--chosen' : ''}`}
      aria-pressed={chosen}
      // What is read on the tape is also what a person would say to press it.
      aria-label={`${tapeWords(facts)}, ${jarWords(facts)}`}
      data-jar={jar.code}
      {...pressed(() => onTap(jar))}
    >
      {chosen && (
        <svg className="big__tick jar-tile__tick" viewBox="0 0 20 20" aria-hidden="true" focusable="false">
          <path d="M3 10.500l5 5L17 5" />
        </svg>
      )}
      <Glass {...lookOf(facts)} size="shelf" />
      <span className="jar-tile__tape">{tapeWords(facts)}</span>
    </button>
  );
});

/** `OY3 G1 /07`, as on the strip of tape. */
export function tapeWords({ jar, strain }: JarFacts): string {
  const number = String(jar.serial).padStart(2, '0');
  if (jar.blank) return t('bench.tape.blank', { number });
  return t('bench.tape', { strain: strain?.shortCode ?? '', generation: jar.generation ?? 0, number });
}

/** Everything the drawing says, for those who listen. */
export function jarWords(facts: JarFacts): string {
  const { jar, state, life, drawnShare } = facts;
  return [
    jar.code,
    ...(jar.blank ? [t('state.blank')] : [t('format.generation', { generation: jar.generation ?? 0 })]),
    t(STATE_WORDS[state]),
    ...(state === 'incubating' ? [t('bench.jar.white', { percent: Math.round(drawnShare * 100) })] : []),
    ...(life?.daysLeft === null || life?.daysLeft === undefined ? [] : [lifeWords(life.daysLeft)]),
    ...(jar.keptAsMother ? [t('state.mother')] : []),
  ].join(', ');
}

function lifeWords(daysLeft: number): string {
  return daysLeft < 0 ? t('stock.daysPast', { days: -daysLeft }) : t('stock.daysLeft', { days: daysLeft });
}
