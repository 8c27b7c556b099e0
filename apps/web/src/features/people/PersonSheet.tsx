import { changeStaffSchema, newStaffSchema, PIN_DIGITS, type StaffMember, setPinSchema } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useChangeStaff } from '../../api/people.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { Notice } from '../../ui/Notice.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { useForm } from '../../ui/use-form.js';
import { ROLE_WORDS } from './role-words.js';

/** Adds a person, or changes one: name, role, PIN, leaving and coming back. */
export function PersonSheet({
  member,
  onClose,
}: {
  readonly member: StaffMember | null;
  readonly onClose: () => void;
}) {
  const change = useChangeStaff();
  const form = useForm(() => ({ name: member?.name ?? '', role: member?.role ?? 'hand', pin: '' }), change.error);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const { name, role, pin } = form.values;
    if (!member) {
      const body = { name, role, ...(pin === '' ? {} : { pin }) };
      return form.check(checkedBody(newStaffSchema, body), (add) =>
        change.mutate({ kind: 'add', body: add }, { onSuccess: onClose }),
      );
    }
    return form.check(checkedBody(changeStaffSchema, { name, role }), (to) =>
      change.mutate({ kind: 'change', member, ...to }, { onSuccess: onClose }),
    );
  };
  return (
    <SideSheet title={member?.name ?? t('command.addPerson')} onClose={onClose}>
      <form className="stack" onSubmit={submit} noValidate>
        {change.error && <Failure error={change.error} />}
        <TextField label={t('field.name')} required {...form.box('name')} />
        {member?.role !== 'owner' && (
          <SelectField
            label={t('field.role')}
            value={form.values.role}
            onChange={(event) => form.set({ role: event.target.value as StaffMember['role'] })}
          >
            <option value="hand">{t(ROLE_WORDS.hand)}</option>
            <option value="lead">{t(ROLE_WORDS.lead)}</option>
          </SelectField>
        )}
        {!member && (
          <PinField value={form.values.pin} error={form.error('/pin')} onChange={(pin) => form.set({ pin })} />
        )}
        <Button look="main" type="submit" busy={change.isPending}>
          {t('command.save')}
        </Button>
      </form>
      {member && <PinForm member={member} />}
      {member && member.role !== 'owner' && (
        <Button
          look="danger"
          busy={change.isPending}
          onClick={() => change.mutate({ kind: member.active ? 'leave' : 'return', member }, { onSuccess: onClose })}
        >
          {t(member.active ? 'command.leaves' : 'command.returns')}
        </Button>
      )}
    </SideSheet>
  );
}

function PinForm({ member }: { readonly member: StaffMember }) {
  const change = useChangeStaff();
  const [done, setDone] = useState(false);
  const form = useForm(() => ({ pin: '' }), change.error);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    form.check(checkedBody(setPinSchema, form.values), ({ pin }) =>
      change.mutate({ kind: 'pin', member, pin }, { onSuccess: () => setDone(true) }),
    );
  };
  return (
    <form className="stack" onSubmit={submit} noValidate>
      {change.error && <Failure error={change.error} />}
      {done && <Notice live title={t('people.pinSet')} />}
      <PinField value={form.values.pin} error={form.error('/pin')} onChange={(pin) => form.set({ pin })} />
      <Button type="submit" busy={change.isPending}>
        {t('command.setPin')}
      </Button>
    </form>
  );
}

function PinField({
  value,
  error,
  onChange,
}: {
  readonly value: string;
  readonly error: string | undefined;
  readonly onChange: (pin: string) => void;
}) {
  return (
    <TextField
      label={t('field.pin')}
      hint={t('people.pinHint', { digits: PIN_DIGITS })}
      type="password"
      inputMode="numeric"
      autoComplete="new-password"
      maxLength={PIN_DIGITS}
      value={value}
      error={error}
      onChange={(event) => onChange(event.target.value)}
    />
  );
}
