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
  jars,
  ...look
}: ShelfProps & { readonly jars: readonly Jar[] } & Pick<Bench, 'farm' | 'today'>) {
  const [element, widthPx] = useWidth();
  const { rows, loose } = shelfRows(shelf, jars);
  const columns = evenColumns(shelf.placesPerRow, widthPx);
  const filled = rows.filter(({ places }) => places.some(({ jars: here }) => here.length > 0));
  return (
    <div className="bench-shelf" ref={element}>
      {widthPx > 0 &&
        filled.map(({ row, places }) => (
          <section key={row} aria-label={t('bench.shelf.row', { row })}>
            <p className="bench-shelf__row">{t('bench.shelf.row', { row })}</p>
            <Lines {...look} columns={columns} places={places.map(({ jars: here }) => here)} standing />
          </section>
        ))}
      {widthPx > 0 && loose.length > 0 && (
        <section aria-label={t('bench.shelf.loose')}>
          <p className="bench-shelf__row">{t('bench.shelf.loose')}</p>
          {pieces(loose, columns * LINES_TOGETHER).map(({ from, piece }) => (
            <Lines key={from} {...look} columns={columns} places={[piece]} />
          ))}
        </section>
      )}
      {filled.length === 0 && loose.length === 0 && <p>{t('bench.shelf.nothing')}</p>}
    </div>
  );
});

/** Lines of a shelf that are drawn, or left as they are, together: of a long shelf a hand sees few and changes one. */
const LINES_TOGETHER = 4;

interface LinesProps extends Pick<ShelfProps, 'chosen' | 'onTap'>, Pick<Bench, 'farm' | 'today'> {
  readonly columns: number;
  /** The jars of each place, or, of jars without a place, all of them in one. */
  readonly places: readonly (readonly Jar[])[];
  /** Each place is drawn, with what stands on it. */
  readonly standing?: boolean;
}

const Lines = memo(function Lines({ columns, places, standing, chosen, onTap, farm, today }: LinesProps) {
  const count = standing ? places.length : places.flat().length;
  const style = { '--columns': columns, '--lines': Math.ceil(count / columns) } as CSSProperties;
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
    <div className="bench-shelf__places" style={style}>
      {standing
        ? places.map((here, at) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a place is told by its number alone
            <div key={at} className="bench-shelf__place">
              {here.length === 0 ? <span className="bench-shelf__empty" aria-hidden="true" /> : here.map(tile)}
            </div>
          ))
        : places.flat().map(tile)}
    </div>
  );
}, looksTheSame);

function looksTheSame(one: LinesProps, other: LinesProps): boolean {
  const { places: onePlaces, chosen: oneChosen, ...oneRest } = one;
  const { places: otherPlaces, chosen: otherChosen, ...otherRest } = other;
  const names = Object.keys(oneRest) as (keyof typeof oneRest)[];
  const stays = (jar: Jar, there: Jar | undefined) =>
    jar === there && oneChosen?.has(jar.id) === otherChosen?.has(jar.id);
  return (
    names.every((name) => oneRest[name] === otherRest[name]) &&
    onePlaces.length === otherPlaces.length &&
    onePlaces.every((here, at) => {
      const there = otherPlaces[at] ?? [];
      return here.length === there.length && here.every((jar, index) => stays(jar, there[index]));
    })
  );
}

function pieces<T>(
  all: readonly T[],
  size: number,
): readonly { readonly from: number; readonly piece: readonly T[] }[] {
  return Array.from({ length: Math.ceil(all.length / size) }, (_, at) => ({
    from: at * size,
    piece: all.slice(at * size, (at + 1) * size),
  }));
}
