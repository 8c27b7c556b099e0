import { benchTimeSchema, type StaffMember } from '@jarfold/contracts';
import type { FormEvent } from 'react';
import { useChangeStaff } from '../../api/people.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { DayField, TextField } from '../../ui/Field.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { useForm } from '../../ui/use-form.js';
import { type AwayText, benchTimeBody, benchTimeValues, withAnother } from './bench-time-form.js';

/** What somebody can give at the bench, and when they are away. */
export function BenchTimeSheet({ member, onClose }: { readonly member: StaffMember; readonly onClose: () => void }) {
  const change = useChangeStaff();
  const form = useForm(() => benchTimeValues(member), change.error);
  const { away } = form.values;
  const aRowIsWrong = away.some((_, at) => form.error(`/away/${at}`) !== undefined);
  const set = (key: number, part: Partial<AwayText>) =>
    form.set({ away: away.map((row) => (row.key === key ? { ...row, ...part } : row)) });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    form.check(checkedBody(benchTimeSchema, benchTimeBody(form.values)), (body) =>
      change.mutate({ kind: 'bench-time', member, body }, { onSuccess: onClose }),
    );
  };
  return (
    <SideSheet title={t('people.benchTimeOf', { name: member.name ?? t('people.nameForgotten') })} onClose={onClose}>
      <form className="stack" onSubmit={submit} noValidate>
        {change.error && <Failure error={change.error} />}
        <TextField
          label={t('field.ownBenchMinutes')}
          hint={t('people.benchMinutesHint')}
          unit={t('unit.minutes')}
          inputMode="numeric"
          {...form.box('benchMinutes')}
        />
        <p>{t('people.awayHint')}</p>
        {away.map((row, at) => (
          <AwayRow
            key={row.key}
            row={row}
            place={at + 1}
            error={(name) => form.error(`/away/${at}/${name}`)}
            onChange={(part) => set(row.key, part)}
            onRemove={() => form.set({ away: away.filter(({ key }) => key !== row.key) })}
          />
        ))}
        {form.error('/away') && !aRowIsWrong && <p className="field__error">{form.error('/away')}</p>}
        <Button onClick={() => form.set({ away: withAnother(away) })}>{t('command.addAway')}</Button>
        <Button look="main" type="submit" busy={change.isPending}>
          {t('command.save')}
        </Button>
      </form>
    </SideSheet>
  );
}

function AwayRow({
  row,
  place,
  error,
  onChange,
  onRemove,
}: {
  readonly row: AwayText;
  readonly place: number;
  readonly error: (name: string) => string | undefined;
  readonly onChange: (part: Partial<AwayText>) => void;
  readonly onRemove: () => void;
}) {
  return (
    <fieldset className="boxes">
      <legend>{t('people.awayPlace', { place })}</legend>
      <div className="stack stack--tight">
        <DayField
          label={t('field.firstDayAway')}
          value={row.firstDay}
          error={error('firstDay')}
          onChange={(event) => onChange({ firstDay: event.target.value })}
        />
        <DayField
          label={t('field.lastDayAway')}
          value={row.lastDay}
          error={error('lastDay')}
          onChange={(event) => onChange({ lastDay: event.target.value })}
        />
        <TextField
          label={t('field.note')}
          value={row.note}
          error={error('note')}
          onChange={(event) => onChange({ note: event.target.value })}
        />
        <Button look="quiet" aria-label={t('people.removeAwayPlace', { place })} onClick={onRemove}>
          {t('command.remove')}
        </Button>
      </div>
    </fieldset>
  );
}
