import { type CycleDetail, type NewTrace, newTraceSchema } from '@jarfold/contracts';
import { readTrace } from '@jarfold/domain';
import { type FormEvent, useState } from 'react';
import { useAttachTrace } from '../../api/sterilising.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { checkedBody, errorAt } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { FormButtons } from '../../ui/FormButtons.js';
import { formatCount, formatNumber } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { readNumber } from '../../ui/read-number.js';
import { SideSheet } from '../../ui/SideSheet.js';

type Unit = 'C' | 'F';
type Way = 'file' | 'points';

interface Reading {
  readonly key: number;
  readonly minute: string;
  readonly temperature: string;
}

/** Attaches a trace to a cycle: a logger's file, or readings typed in. What was attached stays; a newer one counts. */
export function TraceSheet({ cycle, onClose }: { readonly cycle: CycleDetail; readonly onClose: () => void }) {
  const attach = useAttachTrace();
  const [id] = useState(() => crypto.randomUUID());
  const [way, setWay] = useState<Way>('file');
  const [unit, setUnit] = useState<Unit | ''>('');
  const [file, setFile] = useState<{ readonly name: string; readonly text: string } | null>(null);
  const [readings, setReadings] = useState<readonly Reading[]>(() => firstReadings());
  const [errors, setErrors] = useState<ReadonlyMap<string, string>>(new Map());
  const send = (event: FormEvent) => {
    event.preventDefault();
    const checked = checkedBody<NewTrace>(newTraceSchema, bodyOf({ id, cycleId: cycle.id, way, unit, file, readings }));
    setErrors(checked.ok ? new Map() : checked.errors);
    if (checked.ok) attach.mutate(checked.body, { onSuccess: onClose });
  };
  const error = (pointer: string) => errorAt(pointer, errors, attach.error);
  return (
    <SideSheet title={t('cycle.attach.title', { code: cycle.code })} onClose={onClose}>
      <form className="stack" onSubmit={send} noValidate>
        {attach.error && <Failure error={attach.error} />}
        <p>{t('cycle.attach.lead')}</p>
        <fieldset className="choice">
          <legend className="visually-hidden">{t('cycle.attach.way')}</legend>
          <Button aria-pressed={way === 'file'} onClick={() => setWay('file')}>
            {t('command.fromFile')}
          </Button>
          <Button aria-pressed={way === 'points'} onClick={() => setWay('points')}>
            {t('command.typeReadings')}
          </Button>
        </fieldset>
        <SelectField
          label={t('field.unit')}
          hint={way === 'file' ? t('cycle.attach.unitHint') : undefined}
          value={unit}
          error={error('/unit')}
          onChange={(event) => setUnit(event.target.value as Unit | '')}
        >
          <option value="">{way === 'file' ? t('cycle.attach.unitOfFile') : t('text.choose')}</option>
          <option value="C">{t('unit.celsius')}</option>
          <option value="F">{t('unit.fahrenheit')}</option>
        </SelectField>
        {way === 'file' ? (
          <FileChoice file={file} unit={unit} error={error('/text') ?? error('/fileName')} onFile={setFile} />
        ) : (
          <Readings readings={readings} error={error} onChange={setReadings} />
        )}
        <Caution hazards={['pressure']} />
        <FormButtons command={t('command.attach')} busy={attach.isPending} onDiscard={onClose} />
      </form>
    </SideSheet>
  );
}

function FileChoice({
  file,
  unit,
  error,
  onFile,
}: {
  readonly file: { readonly name: string; readonly text: string } | null;
  readonly unit: Unit | '';
  readonly error: string | undefined;
  readonly onFile: (file: { name: string; text: string } | null) => void;
}) {
  return (
    <>
      <TextField
        label={t('field.traceFile')}
        type="file"
        accept=".csv,.txt,.tsv,text/plain,text/csv"
        hint={t('cycle.attach.fileHint')}
        error={error}
        onChange={async (event) => {
          const chosen = event.target.files?.[0];
          onFile(chosen ? { name: chosen.name, text: await chosen.text() } : null);
        }}
      />
      {file && <Preview text={file.text} unit={unit} />}
    </>
  );
}

/** What the file says, before anything is sent: the same reading the server does. */
function Preview({ text, unit }: { readonly text: string; readonly unit: Unit | '' }) {
  const read = readTrace(text, unit === '' ? null : unit);
  if (read.kind === 'trace') {
    const last = read.points.at(-1)!;
    const highest = Math.max(...read.points.map(({ temperatureC }) => temperatureC));
    return (
      <Notice live>
        <p>
          {t('cycle.attach.preview', {
            count: read.points.length,
            minutes: formatNumber(last.minute),
            highest: formatNumber(highest),
            unit: read.unit,
          })}
        </p>
      </Notice>
    );
  }
  return (
    <Notice tone="care" title={t('cycle.attach.problems', { count: read.problems.length })} live>
      <ul>
        {read.problems.slice(0, MOST_PROBLEMS).map(({ line, message }) => (
          <li key={`${line} ${message}`}>
            {line === null ? message : t('cycle.attach.line', { line: formatCount(line), message })}
          </li>
        ))}
      </ul>
    </Notice>
  );
}

const MOST_PROBLEMS = 12;

function Readings({
  readings,
  error,
  onChange,
}: {
  readonly readings: readonly Reading[];
  readonly error: (pointer: string) => string | undefined;
  readonly onChange: (readings: readonly Reading[]) => void;
}) {
  const set = (key: number, change: Partial<Reading>) =>
    onChange(readings.map((reading) => (reading.key === key ? { ...reading, ...change } : reading)));
  return (
    <fieldset className="boxes stack stack--tight">
      <legend>{t('cycle.attach.readings')}</legend>
      {error('/points') && <p className="field__error">{error('/points')}</p>}
      {readings.map((reading, i) => (
        <div key={reading.key} className="reading">
          <TextField
            label={t('cycle.attach.minute', { at: i + 1 })}
            inputMode="decimal"
            value={reading.minute}
            error={error(`/points/${i}/minute`)}
            onChange={(event) => set(reading.key, { minute: event.target.value })}
          />
          <TextField
            label={t('cycle.attach.temperature', { at: i + 1 })}
            inputMode="decimal"
            value={reading.temperature}
            error={error(`/points/${i}/temperature`)}
            onChange={(event) => set(reading.key, { temperature: event.target.value })}
          />
          <Button
            look="quiet"
            aria-label={t('cycle.attach.remove', { at: i + 1 })}
            onClick={() => onChange(readings.filter(({ key }) => key !== reading.key))}
          >
            {t('command.remove')}
          </Button>
        </div>
      ))}
      <div>
        <Button onClick={() => onChange([...readings, emptyReading(readings)])}>{t('command.addReading')}</Button>
      </div>
    </fieldset>
  );
}

const firstReadings = (): readonly Reading[] => [0, 1].map((key) => ({ key, minute: '', temperature: '' }));

const emptyReading = (readings: readonly Reading[]): Reading => ({
  key: Math.max(-1, ...readings.map(({ key }) => key)) + 1,
  minute: '',
  temperature: '',
});

function bodyOf({
  way,
  unit,
  file,
  readings,
  ...ids
}: {
  readonly id: string;
  readonly cycleId: string;
  readonly way: Way;
  readonly unit: Unit | '';
  readonly file: { readonly name: string; readonly text: string } | null;
  readonly readings: readonly Reading[];
}): unknown {
  const declared = unit === '' ? null : unit;
  if (way === 'file')
    return { kind: 'file', ...ids, unit: declared, fileName: file?.name.slice(0, 200) ?? '', text: file?.text ?? '' };
  const points = readings.map(({ minute, temperature }) => ({
    minute: readNumber(minute) ?? Number.NaN,
    temperature: readNumber(temperature) ?? Number.NaN,
  }));
  return { kind: 'points', ...ids, unit: declared ?? undefined, points };
}
