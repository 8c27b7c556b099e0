import { newShelfSchema, type Shelf, shelfPatchSchema } from '@jarfold/contracts';
import { useSaveShelf } from '../../api/farm.js';
import { t } from '../../messages/translate.js';
import { TextField } from '../../ui/Field.js';
import { readNumber } from '../../ui/read-number.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { ThingForm } from '../../ui/ThingForm.js';
import { useForm } from '../../ui/use-form.js';

/** Adds a shelf to a room, or edits one. */
export function ShelfSheet({
  roomId,
  shelf,
  onClose,
}: {
  readonly roomId: string;
  readonly shelf: Shelf | null;
  readonly onClose: () => void;
}) {
  const save = useSaveShelf();
  const form = useForm(
    () => ({
      name: shelf?.name ?? '',
      rows: String(shelf?.rows ?? ''),
      placesPerRow: String(shelf?.placesPerRow ?? ''),
      archived: shelf?.archived ?? false,
    }),
    save.error,
  );
  const body = () => ({
    ...{ name: form.values.name, roomId },
    rows: readNumber(form.values.rows),
    placesPerRow: readNumber(form.values.placesPerRow),
  });
  return (
    <SideSheet title={shelf ? shelf.name : t('command.addShelf')} onClose={onClose}>
      <ThingForm
        thing={shelf}
        form={form}
        body={body}
        schemas={{ add: newShelfSchema, patch: shelfPatchSchema }}
        save={save}
        onClose={onClose}
      >
        <TextField label={t('field.name')} required {...form.box('name')} />
        <div className="field-grid">
          <TextField label={t('field.rows')} inputMode="numeric" required {...form.box('rows')} />
          <TextField label={t('field.placesPerRow')} inputMode="numeric" required {...form.box('placesPerRow')} />
        </div>
      </ThingForm>
    </SideSheet>
  );
}
