import { newRoomSchema, type Room, roomKinds, roomPatchSchema } from '@jarfold/contracts';
import { useSaveRoom } from '../../api/farm.js';
import { t } from '../../messages/translate.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { readNumber } from '../../ui/read-number.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { ThingForm } from '../../ui/ThingForm.js';
import { useForm } from '../../ui/use-form.js';
import { ROOM_KIND_WORDS } from './room-kind-words.js';

/** Adds a room or edits one. A room is put out of use, never removed: jars have stood in it. */
export function RoomSheet({ room, onClose }: { readonly room: Room | null; readonly onClose: () => void }) {
  const save = useSaveRoom();
  const form = useForm(
    () => ({
      name: room?.name ?? '',
      kind: room?.kind ?? ('incubation' as Room['kind']),
      temperatureC: room?.temperatureC == null ? '' : String(room.temperatureC),
      archived: room?.archived ?? false,
    }),
    save.error,
  );
  const body = () => {
    const { archived: _archived, ...values } = form.values;
    return { ...values, temperatureC: readNumber(values.temperatureC) };
  };
  return (
    <SideSheet title={room ? room.name : t('command.addRoom')} onClose={onClose}>
      <ThingForm
        thing={room}
        form={form}
        body={body}
        schemas={{ add: newRoomSchema, patch: roomPatchSchema }}
        save={save}
        onClose={onClose}
      >
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
      </ThingForm>
    </SideSheet>
  );
}
