import './field.css';
import { type CalendarDay, isCalendarDay } from '@jarfold/domain';
import { type InputHTMLAttributes, type ReactNode, type SelectHTMLAttributes, useId } from 'react';
import { t } from '../messages/translate.js';
import { formatLongDay, formatWeekOf } from './format/index.js';

interface FieldFrame {
  readonly label: string;
  readonly hint?: string | undefined;
  readonly error?: string | undefined;
  /** A unit written behind the box: kg, %, jars. */
  readonly unit?: string | undefined;
}

type InputProps = FieldFrame & Omit<InputHTMLAttributes<HTMLInputElement>, 'id'>;

/** One labelled box. The label is always visible; hint and error are tied to the box for screen readers. */
export function TextField({ label, hint, error, unit, className = '', ...input }: InputProps) {
  const id = useId();
  return (
    <FieldShell id={id} label={label} hint={hint} error={error} unit={unit} className={className}>
      <input {...input} id={id} className="field__box" {...described(id, hint, error)} />
    </FieldShell>
  );
}

/** A calendar day. The box is the browser's own; below it the day is written out with its ISO week. */
export function DayField(props: Omit<InputProps, 'type' | 'hint'> & { readonly value: string }) {
  return <TextField {...props} type="date" hint={isCalendarDay(props.value) ? dayWords(props.value) : undefined} />;
}

const dayWords = (day: CalendarDay): string =>
  t('format.dayAndWeek', { day: formatLongDay(day), week: formatWeekOf(day) });

type SelectProps = FieldFrame & Omit<SelectHTMLAttributes<HTMLSelectElement>, 'id'>;

export function SelectField({ label, hint, error, unit, className = '', children, ...select }: SelectProps) {
  const id = useId();
  return (
    <FieldShell id={id} label={label} hint={hint} error={error} unit={unit} className={className}>
      <select {...select} id={id} className="field__box" {...described(id, hint, error)}>
        {children}
      </select>
    </FieldShell>
  );
}

type CheckProps = FieldFrame & Omit<InputHTMLAttributes<HTMLInputElement>, 'id' | 'type'>;

export function CheckField({ label, hint, error, ...input }: CheckProps) {
  const id = useId();
  return (
    <div className="field field--check">
      <label className="field__check" htmlFor={id}>
        <input {...input} id={id} type="checkbox" {...described(id, hint, error)} />
        <span>{label}</span>
      </label>
      <FieldNotes id={id} hint={hint} error={error} />
    </div>
  );
}

function FieldShell({
  id,
  label,
  hint,
  error,
  unit,
  className,
  children,
}: FieldFrame & { readonly id: string; readonly className: string; readonly children: ReactNode }) {
  return (
    <div className={`field ${error ? 'field--wrong' : ''} ${className}`}>
      <label className="field__label" htmlFor={id}>
        {label}
      </label>
      <div className="field__line">
        {children}
        {unit && <span className="field__unit">{unit}</span>}
      </div>
      <FieldNotes id={id} hint={hint} error={error} />
    </div>
  );
}

function FieldNotes({ id, hint, error }: { readonly id: string } & Pick<FieldFrame, 'hint' | 'error'>) {
  return (
    <>
      {hint && (
        <p className="field__hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {error && (
        <p className="field__error" id={`${id}-error`}>
          {error}
        </p>
      )}
    </>
  );
}

function described(id: string, hint: string | undefined, error: string | undefined) {
  const notes = [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean).join(' ');
  return { ...(notes ? { 'aria-describedby': notes } : {}), ...(error ? { 'aria-invalid': true as const } : {}) };
}
