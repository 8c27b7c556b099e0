import type { StockOverview, StockRow } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { lookOfState, STATE_WORDS } from '../../ui/drawing/jar-look.js';
import { formatMass } from '../../ui/format/index.js';
import { Tape } from '../../ui/Tape.js';
import { type AgeShelf, type AgeStack, ageShelves, glassesOf, jarsPerGlass } from './age-shelf.js';

const STATES: readonly StockRow['state'][] = ['incubating', 'ripe', 'chilled', 'opened', 'contaminated'];

/** A shelf per strain; along it the weeks since the jars were made, youngest on the left. */
export function AgeShelves({
  overview,
  generation,
}: {
  readonly overview: StockOverview;
  readonly generation: number | null;
}) {
  const shelves = ageShelves(overview, generation);
  const perGlass = jarsPerGlass(shelves);
  return (
    <div className="stack">
      <ul className="legend plain">
        {STATES.filter((state) => overview.rows.some((row) => row.state === state)).map((state) => (
          <li key={state}>
            <Glass size="small" {...lookOfState(state)} />
            {t(STATE_WORDS[state])}
          </li>
        ))}
        <li className="soft">{t('stock.scale', { count: perGlass })}</li>
      </ul>
      {shelves.map((shelf) => (
        <StrainShelf key={shelf.strainId} shelf={shelf} perGlass={perGlass} />
      ))}
    </div>
  );
}

function StrainShelf({ shelf, perGlass }: { readonly shelf: AgeShelf; readonly perGlass: number }) {
  return (
    <figure className="age-shelf">
      <figcaption className="age-shelf__name">
        <Tape size="large">{shelf.strainCode}</Tape>
        <span>
          <strong>{shelf.strainName}</strong>
          <br />
          <span className="soft">{t('stock.shelfTotal', { count: shelf.jars, mass: formatMass(shelf.grams) })}</span>
        </span>
      </figcaption>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard. */}
      <section className="age-shelf__scroll" tabIndex={0} aria-label={t('stock.shelfOf', { strain: shelf.strainName })}>
        <ol className="age-shelf__weeks plain">
          {shelf.weeks.map((stack) => (
            <li key={stack.week} className="age-stack">
              <span className="visually-hidden">{stackWords(stack)}</span>
              <span className="age-stack__jars" aria-hidden="true">
                {glassesOf(stack, perGlass).map((state, index) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: identical drawings without identity
                  <Glass key={index} size="small" {...lookOfState(state)} />
                ))}
              </span>
              <span className="age-stack__count numeric" aria-hidden="true">
                {stack.jars > 0 ? stack.jars : ''}
              </span>
              <span className="age-stack__week" aria-hidden="true">
                {stack.week}
              </span>
            </li>
          ))}
        </ol>
        <p className="age-shelf__axis" aria-hidden="true">
          {t('stock.weeksOld')}
        </p>
      </section>
    </figure>
  );
}

function stackWords(stack: AgeStack): string {
  const parts = stack.parts.map(({ state, count }) => t('stock.part', { count, state: t(STATE_WORDS[state]) }));
  return t('stock.stack', { week: stack.week, parts: parts.length > 0 ? parts.join(', ') : t('stock.noJars') });
}
