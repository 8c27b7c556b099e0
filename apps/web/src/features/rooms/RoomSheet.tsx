import { newRoomSchema, type Room, roomKinds, roomPatchSchema } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useSaveRoom } from '../../api/farm.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { CheckField, SelectField, TextField } from '../../ui/Field.js';
import { readNumber } from '../../ui/read-number.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { useForm } from '../../ui/use-form.js';
import { ROOM_KIND_WORDS } from './room-kind-words.js';

/** Adds a room or edits one. A room is put out of use, never removed: jars have stood in it. */
export function RoomSheet({ room, onClose }: { readonly room: Room | null; readonly onClose: () => void }) {
  const save = useSaveRoom();
  const [newId] = useState(() => crypto.randomUUID());
  const form = useForm(
    () => ({
      name: room?.name ?? '',
      kind: room?.kind ?? ('incubation' as Room['kind']),
      temperatureC: room?.temperatureC == null ? '' : String(room.temperatureC),
      archived: room?.archived ?? false,
    }),
    save.error,
  );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const { archived, ...values } = form.values;
    const body = { ...values, temperatureC: readNumber(values.temperatureC) };
    if (room) {
      form.check(checkedBody(roomPatchSchema, { ...body, archived }), (patch) =>
        save.mutate({ id: room.id, revision: room.revision, patch }, { onSuccess: onClose }),
      );
    } else {
      form.check(checkedBody(newRoomSchema, { ...body, id: newId }), (add) =>
        save.mutate({ add }, { onSuccess: onClose }),
      );
    }
  };
  return (
    <SideSheet title={room ? room.name : t('command.addRoom')} onClose={onClose}>
      <form className="stack" onSubmit={submit} noValidate>
        {save.error && <Failure error={save.error} />}
        <TextField label={t('field.name')} required {...form.box('name')} />
        <SelectField
          label={t('field.roomKind')}
          value={form.values.kind}
          error={form.error('/kind')}
          onChange={(event) =>
            form.set({ kind: roomKinds.find((kind) => kind === event.target.value) ?? 'incubation' })
          }
        >
          {roomKinds.map((kind) => (
            <option key={kind} value={kind}>
              {t(ROOM_KIND_WORDS[kind])}
            </option>
          ))}
        </SelectField>
        <TextField
          label={t('field.temperature')}
          unit={t('unit.celsius')}
          inputMode="decimal"
          {...form.box('temperatureC')}
        />
        {room && (
          <CheckField
            label={t('field.outOfUse')}
            checked={form.values.archived}
            onChange={(event) => form.set({ archived: event.target.checked })}
          />
        )}
        <div className="row">
          <Button type="submit" look="main" busy={save.isPending}>
            {t('command.save')}
          </Button>
          <Button onClick={onClose}>{t('command.discardChanges')}</Button>
        </div>
      </form>
    </SideSheet>
  );
}
