import './labels.css';
import { type LabelLayout, labelLayoutSchema, STARTING_LABEL_LAYOUT } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useLabelLayout, useSaveLabelLayout } from '../../api/labels.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { Notice } from '../../ui/Notice.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { useForm } from '../../ui/use-form.js';
import { LABEL_NUMBERS, type LayoutNumber, layoutBody, layoutValues, SHEET_NUMBERS } from './layout-form.js';
import { SheetDrawing } from './SheetDrawing.js';

const WORDS = {
  labelWidthMm: 'field.labelWidth',
  labelHeightMm: 'field.labelHeight',
  pageWidthMm: 'field.pageWidth',
  pageHeightMm: 'field.pageHeight',
  columns: 'field.labelColumns',
  rows: 'field.labelRows',
  marginLeftMm: 'field.marginLeft',
  marginTopMm: 'field.marginTop',
  gapXMm: 'field.gapAcross',
  gapYMm: 'field.gapDown',
} as const satisfies Record<LayoutNumber, MessageKey>;

/** How labels lie on what the farm's printer takes. Remembered for the whole farm, so that printing asks nothing. */
export function LabelSettings() {
  const layout = useLabelLayout();
  return <QueryStates query={layout}>{(data) => <LayoutForm layout={data} />}</QueryStates>;
}

function LayoutForm({ layout }: { readonly layout: LabelLayout }) {
  const save = useSaveLabelLayout();
  const form = useForm(() => layoutValues(layout), save.error);
  const [saved, setSaved] = useState(false);
  const { kind } = form.values;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    setSaved(false);
    form.check(checkedBody(labelLayoutSchema, layoutBody(form.before, form.values)), (body) =>
      save.mutate(body, { onSuccess: () => setSaved(true) }),
    );
  };
  const box = (name: LayoutNumber) => (
    <TextField
      key={name}
      label={t(WORDS[name])}
      unit={name.endsWith('Mm') ? t('unit.mm') : undefined}
      inputMode="decimal"
      {...form.box(name)}
    />
  );
  return (
    <form className="stack" onSubmit={submit} onChange={() => setSaved(false)} noValidate>
      <p className="soft">{t('labels.lead')}</p>
      <div className="label-settings">
        <div className="stack">
          <SelectField
            label={t('field.labelKind')}
            value={kind}
            onChange={(event) => form.set({ kind: event.target.value === 'single' ? 'single' : 'sheet' })}
          >
            <option value="sheet">{t('labels.sheet')}</option>
            <option value="single">{t('labels.single')}</option>
          </SelectField>
          <div className="field-grid">
            {LABEL_NUMBERS.map(box)}
            {kind === 'sheet' && SHEET_NUMBERS.map(box)}
          </div>
        </div>
        <SheetDrawing values={form.values} />
      </div>
      {save.error && <Failure error={save.error} />}
      <div className="row">
        <Button type="submit" look="main" busy={save.isPending}>
          {t('command.saveLabels')}
        </Button>
        <Button onClick={() => form.set(layoutValues({ ...STARTING_LABEL_LAYOUT, kind }))}>
          {t('command.usualSheet')}
        </Button>
      </div>
      {saved && <Notice live title={t('labels.saved')} />}
    </form>
  );
}
