import { type FormEvent, type ReactNode, useState } from 'react';
import type { AddOrEdit } from '../api/farm.js';
import { t } from '../messages/translate.js';
import { type BodySchema, type CheckedBody, checkedBody } from './checked-body.js';
import { Failure } from './Failure.js';
import { CheckField } from './Field.js';
import { FormButtons } from './FormButtons.js';

/** As much of a form's boxes as saving needs; see useForm. */
interface Boxes {
  readonly values: { readonly archived: boolean };
  set(change: { archived: boolean }): void;
  check<T>(checked: CheckedBody<T>, pass: (body: T) => void): void;
}

interface Saving<New, Patch> {
  readonly error: unknown;
  readonly isPending: boolean;
  mutate(edit: AddOrEdit<New, Patch>, options: { readonly onSuccess: () => void }): void;
}

/**
 * The form of a thing the farm keeps a list of: a new one is added under an id made here, so that sending twice adds once;
 * one that is there is changed on the revision it was read at, or put out of use. It is never removed: jars refer to it.
 */
export function ThingForm<New, Patch>({
  thing,
  form,
  body,
  schemas,
  save,
  onClose,
  children,
}: {
  /** Null: a new one. */
  readonly thing: { readonly id: string; readonly revision: number } | null;
  readonly form: Boxes;
  /** What the boxes say, ready for the contract's check. */
  readonly body: () => Readonly<Record<string, unknown>>;
  readonly schemas: { readonly add: BodySchema<New>; readonly patch: BodySchema<Patch> };
  readonly save: Saving<New, Patch>;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  const [newId] = useState(() => crypto.randomUUID());
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const saved = { onSuccess: onClose };
    if (thing === null) {
      form.check(checkedBody(schemas.add, { ...body(), id: newId }), (add) => save.mutate({ add }, saved));
      return;
    }
    const { id, revision } = thing;
    const { archived } = form.values;
    form.check(checkedBody(schemas.patch, { ...body(), archived }), (patch) =>
      save.mutate({ id, revision, patch }, saved),
    );
  };
  return (
    <form className="stack" onSubmit={submit} noValidate>
      {save.error ? <Failure error={save.error} /> : null}
      {children}
      {thing && (
        <CheckField
          label={t('field.outOfUse')}
          checked={form.values.archived}
          onChange={(event) => form.set({ archived: event.target.checked })}
        />
      )}
      <FormButtons busy={save.isPending} onDiscard={onClose} />
    </form>
  );
}
