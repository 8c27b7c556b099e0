import type { NewRun, Run, RunPatch } from '@jarfold/contracts';
import { type FormEvent, type ReactNode, useState } from 'react';
import { useChangeRun } from '../../api/runs.js';
import { type MessageKey, t } from '../../messages/translate.js';
import type { CheckedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { FormButtons } from '../../ui/FormButtons.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { useForm } from '../../ui/use-form.js';

/** The boxes of a bulk run or an order. */
export type RunForm<Values extends object> = ReturnType<typeof useForm<Values>>;

/** Adds a bulk run or an order, or edits one. Saved means planned anew: the week and the coverage follow. */
export function RunFormSheet<Values extends object>({
  run,
  addTitle,
  initial,
  newBody,
  patchBody,
  onClose,
  children,
}: {
  /** What is edited; null: one is added. */
  readonly run: Run | null;
  readonly addTitle: string;
  readonly initial: () => Values;
  readonly newBody: (values: Values) => CheckedBody<NewRun>;
  readonly patchBody: (before: Values, after: Values) => CheckedBody<RunPatch>;
  readonly onClose: () => void;
  readonly children: (form: RunForm<Values>) => ReactNode;
}) {
  const change = useChangeRun();
  const form = useForm(initial, change.error);
  // One id per opened sheet: sent twice, it is still one run.
  const [newId] = useState(() => crypto.randomUUID());
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (run === null) {
      return form.check(newBody(form.values), (body) =>
        change.mutate({ kind: 'add', run: { ...body, id: newId } }, { onSuccess: onClose }),
      );
    }
    form.check(patchBody(form.before, form.values), (patch) => {
      if (Object.keys(patch).length === 0) return onClose();
      change.mutate({ kind: 'edit', id: run.id, revision: run.revision, patch }, { onSuccess: onClose });
    });
  };
  return (
    <SideSheet title={run ? t('runs.editTitle', { run: run.name }) : addTitle} onClose={onClose}>
      <form className="stack" onSubmit={submit} noValidate>
        {change.error && <Failure error={change.error} />}
        {children(form)}
        <FormButtons busy={change.isPending} onDiscard={onClose} />
      </form>
    </SideSheet>
  );
}

interface CommonValues {
  readonly minShare: string;
  readonly priority: string;
  readonly slackDays: string;
  readonly note: string;
}

/** How much is enough, what comes first, how long it can wait: the same for a bulk run and an order. */
export function CommonBoxes<Values extends CommonValues>({
  form: { box },
  minimumHint,
}: {
  readonly form: RunForm<Values>;
  readonly minimumHint: MessageKey;
}) {
  return (
    <>
      <div className="field-grid">
        <TextField
          label={t('field.minimum')}
          hint={t(minimumHint)}
          unit={t('unit.percent')}
          inputMode="decimal"
          {...box('minShare')}
        />
        <TextField label={t('field.priority')} hint={t('runs.priorityHint')} inputMode="numeric" {...box('priority')} />
        <TextField
          label={t('field.slack')}
          hint={t('runs.slackHint')}
          unit={t('unit.days')}
          inputMode="numeric"
          {...box('slackDays')}
        />
      </div>
      <TextField label={t('field.note')} {...box('note')} />
    </>
  );
}
