import type { DrawnJar, DrawnRooms } from '@jarfold/contracts';
import { useState } from 'react';
import { useDrawnRooms } from '../../api/stock.js';
import { t } from '../../messages/translate.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { JarButton } from '../rooms/JarButton.js';
import { ROOM_KIND_WORDS } from '../rooms/room-kind-words.js';
import { ShelfDrawing } from '../rooms/ShelfDrawing.js';
import { JarSheet } from '../stock/JarSheet.js';
import { isGone, type RecalledJar } from './lineage-steps.js';
import { relationBadge } from './relation-words.js';

/** The rooms and shelves where relatives stand: they stand out, everything else steps back. */
export function RelativesMap({ jars }: { readonly jars: readonly RecalledJar[] }) {
  const rooms = useDrawnRooms();
  const [open, setOpen] = useState<string | null>(null);
  const standing = jars.filter((jar) => !isGone(jar));
  return (
    <Panel title={t('recall.map')} aside={<p className="soft">{t('recall.standing', { count: standing.length })}</p>}>
      {standing.length === 0 ? (
        <p>{t('recall.noneStanding')}</p>
      ) : (
        <QueryStates query={rooms}>
          {(drawn) => <Rooms rooms={drawn} jars={standing} onJar={(jar) => setOpen(jar.id)} />}
        </QueryStates>
      )}
      {open && <JarSheet jarId={open} onClose={() => setOpen(null)} />}
    </Panel>
  );
}

function Rooms({
  rooms,
  jars,
  onJar,
}: {
  readonly rooms: DrawnRooms;
  readonly jars: readonly RecalledJar[];
  readonly onJar: (jar: DrawnJar) => void;
}) {
  const related = new Map(jars.map((jar) => [jar.jarId, jar]));
  const badge = (jar: DrawnJar) => {
    const relative = related.get(jar.id);
    return relative ? relationBadge(relative) : null;
  };
  const drawn = rooms.rooms.map((room) => roomOf(room, related)).filter(({ count }) => count > 0);
  const nowhere = rooms.nowhere.filter(({ id }) => related.has(id));
  const shown = drawn.reduce((sum, { count }) => sum + count, nowhere.length);
  return (
    <>
      <p className="soft">{t('recall.mapHint')}</p>
      {drawn.map(({ room, shelves, loose, count }) => (
        <section key={room.id} className="map-room stack">
          <h3>
            {room.name}{' '}
            <span className="soft">{t('recall.inRoom', { kind: t(ROOM_KIND_WORDS[room.kind]), count })}</span>
          </h3>
          {shelves.map((shelf) => (
            <ShelfDrawing key={shelf.id} shelf={shelf} onJar={onJar} badge={badge} />
          ))}
          {loose.length > 0 && <Loose title={t('rooms.loose')} jars={loose} badge={badge} onJar={onJar} />}
        </section>
      ))}
      {nowhere.length > 0 && <Loose title={t('rooms.nowhere')} jars={nowhere} badge={badge} onJar={onJar} />}
      {jars.length > shown && <p className="soft">{t('recall.notDrawn', { count: jars.length - shown })}</p>}
    </>
  );
}

type DrawnRoom = DrawnRooms['rooms'][number];

/** Only shelves with a relative on them; of jars on no shelf only the relatives. */
function roomOf(room: DrawnRoom, related: ReadonlyMap<string, RecalledJar>) {
  const isRelated = ({ id }: DrawnJar) => related.has(id);
  const shelves = room.shelves.filter(({ jars }) => jars.some(isRelated));
  const loose = room.loose.filter(isRelated);
  const count = shelves.reduce((sum, { jars }) => sum + jars.filter(isRelated).length, loose.length);
  return { room, shelves, loose, count };
}

function Loose({
  title,
  jars,
  badge,
  onJar,
}: {
  readonly title: string;
  readonly jars: readonly DrawnJar[];
  readonly badge: (jar: DrawnJar) => string | null;
  readonly onJar: (jar: DrawnJar) => void;
}) {
  return (
    <section className="stack stack--tight">
      <h4>{title}</h4>
      <ul className="loose plain">
        {jars.map((jar) => (
          <li key={jar.id}>
            <JarButton jar={jar} where={t('rooms.noPlace')} onOpen={onJar} badge={badge(jar)} />
          </li>
        ))}
      </ul>
    </section>
  );
}
