import { newShelfSchema, type Shelf, shelfPatchSchema } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useSaveShelf } from '../../api/farm.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { CheckField, TextField } from '../../ui/Field.js';
import { readNumber } from '../../ui/read-number.js';
import { SideSheet } from '../../ui/SideSheet.js';
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
  const [newId] = useState(() => crypto.randomUUID());
  const form = useForm(
    () => ({
      name: shelf?.name ?? '',
      rows: String(shelf?.rows ?? ''),
      placesPerRow: String(shelf?.placesPerRow ?? ''),
      archived: shelf?.archived ?? false,
    }),
    save.error,
  );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const { name, archived } = form.values;
    const body = {
      name,
      roomId,
      rows: readNumber(form.values.rows),
      placesPerRow: readNumber(form.values.placesPerRow),
    };
    if (shelf) {
      form.check(checkedBody(shelfPatchSchema, { ...body, archived }), (patch) =>
        save.mutate({ id: shelf.id, revision: shelf.revision, patch }, { onSuccess: onClose }),
      );
    } else {
      form.check(checkedBody(newShelfSchema, { ...body, id: newId }), (add) =>
        save.mutate({ add }, { onSuccess: onClose }),
      );
    }
  };
  return (
    <SideSheet title={shelf ? shelf.name : t('command.addShelf')} onClose={onClose}>
      <form className="stack" onSubmit={submit} noValidate>
        {save.error && <Failure error={save.error} />}
        <TextField label={t('field.name')} required {...form.box('name')} />
        <div className="field-grid">
          <TextField label={t('field.rows')} inputMode="numeric" required {...form.box('rows')} />
          <TextField label={t('field.placesPerRow')} inputMode="numeric" required {...form.box('placesPerRow')} />
        </div>
        {shelf && (
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
