import { newEnrolmentSchema } from '@jarfold/contracts';
import type { FormEvent } from 'react';
import { useNewEnrolment } from '../../api/people.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { useForm } from '../../ui/use-form.js';

/** Names a tablet and shows the code that makes it one of the farm's, once. */
export function EnrolmentSheet({ onClose }: { readonly onClose: () => void }) {
  const enrolment = useNewEnrolment();
  const form = useForm(() => ({ name: '' }), enrolment.error);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    form.check(checkedBody(newEnrolmentSchema, form.values), ({ name }) => enrolment.mutate(name));
  };
  return (
    <SideSheet title={t('command.addTablet')} onClose={onClose}>
      {enrolment.data ? (
        <div className="stack">
          <p>{t('people.enrolHow', { address: `${window.location.origin}/bench` })}</p>
          <p className="code enrolment-code">{enrolment.data.code}</p>
          <p>{t('people.enrolOnce')}</p>
          <Button look="main" onClick={onClose}>
            {t('command.close')}
          </Button>
        </div>
      ) : (
        <form className="stack" onSubmit={submit} noValidate>
          {enrolment.error && <Failure error={enrolment.error} />}
          <TextField label={t('field.tabletName')} hint={t('people.tabletNameHint')} {...form.box('name')} />
          <Button look="main" type="submit" busy={enrolment.isPending}>
            {t('command.makeCode')}
          </Button>
        </form>
      )}
    </SideSheet>
  );
}
