import './rooms.css';
import type { DrawnJar, DrawnRooms } from '@jarfold/contracts';
import { type CSSProperties, useId } from 'react';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { JarButton } from './JarButton.js';
import { type ShelfRow, shelfRows } from './shelf-rows.js';

type DrawnShelf = DrawnRooms['rooms'][number]['shelves'][number];

/** A shelf as it stands in the room: rows of steel, jars in their places, dimples where none stands. */
export function ShelfDrawing({
  shelf,
  onJar,
  onEdit,
  badge,
}: {
  readonly shelf: DrawnShelf;
  readonly onJar: (jar: DrawnJar) => void;
  /** Left out where shelves are only looked at. */
  readonly onEdit?: (() => void) | undefined;
  /** What makes some jars stand out (see JarButton); rows without one are then left out. */
  readonly badge?: (jar: DrawnJar) => string | null;
}) {
  const id = useId();
  const standsOut = (place: ShelfRow['places'][number]) => place.kind === 'jar' && badge?.(place.jar) !== null;
  const rows = shelfRows(shelf).filter(({ places }) => badge === undefined || places.some(standsOut));
  return (
    <section className="shelf" aria-labelledby={id}>
      <header className="row row--apart">
        <h3 id={id}>{shelf.name}</h3>
        <div className="row">
          <p className="soft">
            {t('rooms.filling', { jars: shelf.jars.length, places: shelf.rows * shelf.placesPerRow })}
          </p>
          {onEdit && (
            <Button look="quiet" aria-label={t('rooms.editNamed', { name: shelf.name })} onClick={onEdit}>
              {t('command.edit')}
            </Button>
          )}
        </div>
      </header>
      <div className="shelf__frame">
        {rows.map(({ row, free, places }) => (
          <div key={row} className="shelf__row">
            <p className="shelf__row-name">{t('rooms.row', { row, free })}</p>
            <ol className="shelf__places plain" style={{ '--places': places.length } as CSSProperties}>
              {places.map((place) =>
                place.kind === 'jar' ? (
                  <li key={place.jar.id}>
                    <JarButton
                      jar={place.jar}
                      where={t('rooms.rowPlace', { row, place: place.jar.place })}
                      onOpen={onJar}
                      badge={badge?.(place.jar)}
                    />
                  </li>
                ) : (
                  <li key={place.place} className="place-empty" aria-hidden="true" />
                ),
              )}
            </ol>
          </div>
        ))}
      </div>
    </section>
  );
}
