import type { DrawnJar, DrawnRooms } from '@jarfold/contracts';
import { useId } from 'react';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { JarButton } from './JarButton.js';
import { type Place, shelfRows } from './shelf-rows.js';

type DrawnShelf = DrawnRooms['rooms'][number]['shelves'][number];

/** A shelf as it stands in the room: rows of steel, jars in their places, dimples where none stands. */
export function ShelfDrawing({
  shelf,
  onJar,
  onEdit,
}: {
  readonly shelf: DrawnShelf;
  readonly onJar: (jar: DrawnJar) => void;
  readonly onEdit: () => void;
}) {
  const id = useId();
  return (
    <section className="shelf" aria-labelledby={id}>
      <header className="row row--apart">
        <h3 id={id}>{shelf.name}</h3>
        <div className="row">
          <p className="soft">
            {t('rooms.filling', { jars: shelf.jars.length, places: shelf.rows * shelf.placesPerRow })}
          </p>
          <Button look="quiet" aria-label={t('rooms.editNamed', { name: shelf.name })} onClick={onEdit}>
            {t('command.edit')}
          </Button>
        </div>
      </header>
      <div className="shelf__frame">
        {shelfRows(shelf).map(({ row, places }) => (
          <div key={row} className="shelf__row">
            <p className="shelf__row-name">{t('rooms.row', { row })}</p>
            <ol className="shelf__places plain">
              {places.map((place) => (
                <li key={placeKey(place)} style={spread(place)}>
                  <PlaceOnShelf place={place} row={row} onJar={onJar} />
                </li>
              ))}
            </ol>
          </div>
        ))}
      </div>
    </section>
  );
}

/** A gap is as wide as the places in it, so that a jar stands where it stands. */
const spread = (place: Place) => {
  const count = place.kind === 'empty' ? place.count : 1;
  return { flexGrow: count, flexBasis: `${count * PLACE_WIDTH_PX}px` };
};

const PLACE_WIDTH_PX = 58;

const placeKey = (place: Place) => (place.kind === 'empty' ? `empty ${place.from}` : place.jar.id);

function PlaceOnShelf({
  place,
  row,
  onJar,
}: {
  readonly place: Place;
  readonly row: number;
  readonly onJar: (jar: DrawnJar) => void;
}) {
  if (place.kind === 'jar') {
    return <JarButton jar={place.jar} where={t('rooms.rowPlace', { row, place: place.jar.place })} onOpen={onJar} />;
  }
  if (place.count === 1) return <span className="place-empty">{emptyWords(place.count)}</span>;
  return <span className="place-empty place-empty--many">{emptyWords(place.count)}</span>;
}

const emptyWords = (count: number): string => t('rooms.free', { count });
