import './rooms.css';
import type { DrawnJar, DrawnRooms, Farm, Room, Shelf } from '@jarfold/contracts';
import { useState } from 'react';
import { useIsLead } from '../../api/session.js';
import { useDrawnRooms } from '../../api/stock.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { formatTemperature } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { JarSheet } from '../stock/JarSheet.js';
import { JarButton } from './JarButton.js';
import { RoomSheet } from './RoomSheet.js';
import { ROOM_KIND_WORDS } from './room-kind-words.js';
import { ShelfDrawing } from './ShelfDrawing.js';
import { ShelfLegend } from './ShelfLegend.js';
import { ShelfSheet } from './ShelfSheet.js';

type Open =
  | { readonly kind: 'jar'; readonly jarId: string }
  | { readonly kind: 'room'; readonly room: Room | null }
  | { readonly kind: 'shelf'; readonly roomId: string; readonly shelf: Shelf | null }
  | null;

export default function RoomsScreen({ farm }: { readonly farm: Farm }) {
  const drawn = useDrawnRooms();
  const [open, setOpen] = useState<Open>(null);
  const mayChange = useIsLead();
  const close = () => setOpen(null);
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.rooms')}</h1>
        {mayChange && (
          <Button look="main" onClick={() => setOpen({ kind: 'room', room: null })}>
            {t('command.addRoom')}
          </Button>
        )}
      </header>
      <QueryStates query={drawn}>{(rooms) => <Rooms rooms={rooms} farm={farm} onOpen={setOpen} />}</QueryStates>
      {open?.kind === 'jar' && <JarSheet jarId={open.jarId} onClose={close} />}
      {open?.kind === 'room' && <RoomSheet room={open.room} onClose={close} />}
      {open?.kind === 'shelf' && <ShelfSheet roomId={open.roomId} shelf={open.shelf} onClose={close} />}
    </>
  );
}

function Rooms({
  rooms,
  farm,
  onOpen,
}: {
  readonly rooms: DrawnRooms;
  readonly farm: Farm;
  readonly onOpen: (open: Open) => void;
}) {
  const onJar = (jar: DrawnJar) => onOpen({ kind: 'jar', jarId: jar.id });
  return (
    <>
      <ShelfLegend />
      {rooms.rooms.length === 0 && <NothingYet title={t('rooms.none')} />}
      {rooms.rooms.map((room) => (
        <RoomPanel key={room.id} room={room} farm={farm} onJar={onJar} onOpen={onOpen} />
      ))}
      {rooms.nowhereCount > 0 && (
        <Panel
          title={t('rooms.nowhere')}
          aside={<p className="soft">{t('text.jars', { count: rooms.nowhereCount })}</p>}
        >
          <LooseJars jars={rooms.nowhere} count={rooms.nowhereCount} onJar={onJar} />
        </Panel>
      )}
    </>
  );
}

function RoomPanel({
  room,
  farm,
  onJar,
  onOpen,
}: {
  readonly room: DrawnRooms['rooms'][number];
  readonly farm: Farm;
  readonly onJar: (jar: DrawnJar) => void;
  readonly onOpen: (open: Open) => void;
}) {
  const mayChange = useIsLead();
  const editable = farm.rooms.find((it) => it.id === room.id) ?? null;
  return (
    <Panel
      title={room.name}
      className={`room room--${room.kind}`}
      aside={
        <div className="row">
          <p className="soft">{roomWords(room)}</p>
          {mayChange && (
            <>
              <Button
                aria-label={t('rooms.editNamed', { name: room.name })}
                onClick={() => onOpen({ kind: 'room', room: editable })}
              >
                {t('command.edit')}
              </Button>
              <Button
                aria-label={t('rooms.addShelfIn', { name: room.name })}
                onClick={() => onOpen({ kind: 'shelf', roomId: room.id, shelf: null })}
              >
                {t('command.addShelf')}
              </Button>
            </>
          )}
        </div>
      }
    >
      {room.shelves.length === 0 && <p className="soft">{t('rooms.noShelves')}</p>}
      {room.shelves.map((shelf) => (
        <ShelfDrawing
          key={shelf.id}
          shelf={shelf}
          onJar={onJar}
          onEdit={
            mayChange
              ? () =>
                  onOpen({
                    ...{ kind: 'shelf', roomId: room.id },
                    shelf: farm.shelves.find((it) => it.id === shelf.id) ?? null,
                  })
              : undefined
          }
        />
      ))}
      {room.looseCount > 0 && (
        <section className="stack stack--tight">
          <h3>{t('rooms.loose')}</h3>
          <LooseJars jars={room.loose} count={room.looseCount} onJar={onJar} />
        </section>
      )}
    </Panel>
  );
}

function roomWords(room: DrawnRooms['rooms'][number]): string {
  const words = [
    t(ROOM_KIND_WORDS[room.kind]),
    room.temperatureC === null ? null : formatTemperature(room.temperatureC),
    t('rooms.filling', { jars: room.jars, places: room.places }),
  ];
  return words.filter(Boolean).join(' · ');
}

function LooseJars({
  jars,
  count,
  onJar,
}: {
  readonly jars: readonly DrawnJar[];
  readonly count: number;
  readonly onJar: (jar: DrawnJar) => void;
}) {
  return (
    <>
      <ul className="loose plain">
        {jars.map((jar) => (
          <li key={jar.id}>
            <JarButton jar={jar} where={t('rooms.noPlace')} onOpen={onJar} />
          </li>
        ))}
      </ul>
      {count > jars.length && <p className="soft">{t('text.more', { count: count - jars.length })}</p>}
    </>
  );
}
