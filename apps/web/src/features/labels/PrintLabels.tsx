import './labels.css';
import { useState } from 'react';
import { useLabelLayout, useOpenLabels } from '../../api/labels.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { readNumber } from '../../ui/read-number.js';
import { type LabelsOf, labelsAddress } from './labels-address.js';

/** Buttons that open labels to print. On sheets a half-used one can be put in: so many labels are left out. */
export function PrintLabels({
  choices,
}: {
  readonly choices: readonly { readonly words: MessageKey; readonly of: LabelsOf }[];
}) {
  const layout = useLabelLayout();
  const open = useOpenLabels();
  const [used, setUsed] = useState('');
  const [begun, setBegun] = useState(false);
  const sheet = layout.data?.kind === 'sheet' ? layout.data : null;
  const perPage = sheet ? sheet.columns * sheet.rows : 0;
  const count = used === '' ? 0 : (readNumber(used) ?? Number.NaN);
  const wrong = sheet !== null && !(Number.isInteger(count) && count >= 0 && count < perPage);
  return (
    <div className="stack stack--tight">
      <div className="row">
        {choices.map(({ words, of }) => (
          <Button
            key={words}
            busy={open.isPending}
            onClick={() => (wrong ? setBegun(true) : open.mutate(labelsAddress(of, sheet ? count : 0)))}
          >
            {t(words)}
          </Button>
        ))}
      </div>
      {open.error && <Failure error={open.error} />}
      {sheet && (
        <details className="more" open={begun} onToggle={({ currentTarget }) => setBegun(currentTarget.open)}>
          <summary>{t('labels.begunSheet')}</summary>
          <TextField
            label={t('field.labelsUsed')}
            hint={t('labels.usedHint', { perPage })}
            error={wrong ? t('labels.usedWrong', { most: perPage - 1 }) : undefined}
            inputMode="numeric"
            value={used}
            onChange={(event) => setUsed(event.target.value)}
          />
        </details>
      )}
    </div>
  );
}
