import type { CycleJson } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { PotDrawing } from '../../ui/drawing/Objects.js';
import { formatDayAndMonth } from '../../ui/format/index.js';
import { VERDICT_WORDS } from './cycle-words.js';

const MOST_DRAWN = 12;

/** The newest cycles as vessels on a shelf, the newest at the right; what departed stands out by a sign and its word. */
export function CycleShelf({ cycles }: { readonly cycles: readonly CycleJson[] }) {
  return (
    <ul className="cycle-shelf board plain">
      {cycles
        .slice(0, MOST_DRAWN)
        .reverse()
        .map(({ id, startedOn, verdict, contaminated, jars }) => (
          <li key={id} className={verdict.kind === 'departs' ? 'cycle-pot cycle-pot--departs' : 'cycle-pot'}>
            <PotDrawing />
            <span>{formatDayAndMonth(startedOn)}</span>
            <span className="cycle-pot__verdict">
              {verdict.kind === 'as the method asks' ? t('cycle.verdict.short') : t(VERDICT_WORDS[verdict.kind])}
            </span>
            {jars > 0 && <span className="soft">{t('cycles.badOf', { count: contaminated, all: jars })}</span>}
          </li>
        ))}
      <li className="board__rest" aria-hidden="true" />
    </ul>
  );
}
