import type { Jar } from '@jarfold/domain';
import { type CSSProperties, memo, useMemo } from 'react';
import { t } from '../../messages/translate.js';
import type { ShelfFacts } from '../../offline/index.js';
import { type Bench, useBench } from './bench-context.js';
import { DrawnTile } from './JarTile.js';
import { shelfRows } from './shelf-places.js';
import { evenColumns, useWidth } from './use-columns.js';

interface ShelfProps {
  readonly shelf: ShelfFacts;
  readonly chosen?: ReadonlySet<string>;
  readonly onTap: (jar: Jar) => void;
}

/** A shelf with its jars, drawn as it stands, each jar a full target. A long row is drawn in lines of equal length. */
export function BenchShelf(props: ShelfProps) {
  const { core, farm, today, status } = useBench();
  const { view } = core;
  const { shelf } = props;
  // biome-ignore lint/correctness/useExhaustiveDependencies: the view is one object whose version tells that it changed
  const jars = useMemo(() => view.jarsOnShelf(shelf.id), [view, shelf.id, status.viewVersion]);
  return <DrawnShelf {...props} jars={jars} farm={farm} today={today} />;
}

/** What is sent or heard of meanwhile draws nothing here anew. */
const DrawnShelf = memo(function DrawnShelf({
  shelf,
  chosen,
  onTap,
  jars,
  farm,
  today,
}: ShelfProps & { readonly jars: readonly Jar[] } & Pick<Bench, 'farm' | 'today'>) {
  const [element, widthPx] = useWidth();
  const { rows, loose } = shelfRows(shelf, jars);
  const columns = { '--columns': evenColumns(shelf.placesPerRow, widthPx) } as CSSProperties;
  const tile = (jar: Jar) => (
    <DrawnTile
      key={jar.id}
      jar={jar}
      onTap={onTap}
      farm={farm}
      today={today}
      {...(chosen ? { chosen: chosen.has(jar.id) } : {})}
    />
  );
  return (
    <div className="bench-shelf" ref={element}>
      {widthPx > 0 &&
        rows
          .filter(({ places }) => places.some(({ jars: here }) => here.length > 0))
          .map(({ row, places }) => (
            <section key={row} aria-label={t('bench.shelf.row', { row })}>
              <p className="bench-shelf__row">{t('bench.shelf.row', { row })}</p>
              <div className="bench-shelf__places" style={columns}>
                {places.map(({ place, jars: here }) => (
                  <div key={place} className="bench-shelf__place">
                    {here.length === 0 ? <span className="bench-shelf__empty" aria-hidden="true" /> : here.map(tile)}
                  </div>
                ))}
              </div>
            </section>
          ))}
      {loose.length > 0 && (
        <section aria-label={t('bench.shelf.loose')}>
          <p className="bench-shelf__row">{t('bench.shelf.loose')}</p>
          <div className="bench-shelf__places" style={columns}>
            {loose.map(tile)}
          </div>
        </section>
      )}
      {rows.every(({ places }) => places.every(({ jars: here }) => here.length === 0)) && loose.length === 0 && (
        <p>{t('bench.shelf.nothing')}</p>
      )}
    </div>
  );
});
