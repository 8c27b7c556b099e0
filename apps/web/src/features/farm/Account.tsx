import {
  type ChangePassword,
  changePasswordSchema,
  PASSWORD_ADVISED_LENGTH,
  PASSWORD_MIN_LENGTH,
  type WhoAmI,
} from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useChangePassword, useSession, useSignOut } from '../../api/session.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { FormButtons } from '../../ui/FormButtons.js';
import { Notice } from '../../ui/Notice.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { useForm } from '../../ui/use-form.js';

const ROLE_WORDS = {
  owner: 'role.owner',
  lead: 'role.lead',
  hand: 'role.hand',
} as const satisfies Record<WhoAmI['role'], MessageKey>;

export function Account() {
  const session = useSession();
  const signOut = useSignOut();
  const [changing, setChanging] = useState(false);
  const [changed, setChanged] = useState(false);
  if (!session.data) return null;
  const { name, email, role } = session.data;
  return (
    <>
      <p>{t('farm.signedInAs', { name, email: email ?? t('farm.byPin'), role: t(ROLE_WORDS[role]) })}</p>
      {changed && <Notice live title={t('farm.passwordChanged')} />}
      {signOut.error && <Failure error={signOut.error} />}
      <div className="row">
        <Button onClick={() => setChanging(true)}>{t('command.changePassword')}</Button>
        <Button busy={signOut.isPending} onClick={() => signOut.mutate()}>
          {t('command.signOut')}
        </Button>
      </div>
      {changing && (
        <PasswordSheet
          onClose={() => setChanging(false)}
          onChanged={() => {
            setChanging(false);
            setChanged(true);
          }}
        />
      )}
    </>
  );
}

function PasswordSheet({ onClose, onChanged }: { readonly onClose: () => void; readonly onChanged: () => void }) {
  const change = useChangePassword();
  const form = useForm(() => ({ currentPassword: '', newPassword: '' }), change.error);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    form.check(checkedBody<ChangePassword>(changePasswordSchema, form.values), (body) =>
      change.mutate(body, { onSuccess: onChanged }),
    );
  };
  return (
    <SideSheet title={t('command.changePassword')} onClose={onClose}>
      <form className="stack" onSubmit={submit} noValidate>
        {change.error && <Failure error={change.error} />}
        <TextField
          label={t('field.currentPassword')}
          type="password"
          autoComplete="current-password"
          required
          {...form.box('currentPassword')}
        />
        <TextField
          label={t('field.newPassword')}
          hint={t('setUp.passwordHint', { min: PASSWORD_MIN_LENGTH, advised: PASSWORD_ADVISED_LENGTH })}
          type="password"
          autoComplete="new-password"
          required
          {...form.box('newPassword')}
        />
        <FormButtons busy={change.isPending} onDiscard={onClose} />
      </form>
    </SideSheet>
  );
}
