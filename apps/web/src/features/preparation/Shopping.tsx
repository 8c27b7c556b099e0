import { type BenchPreparation, GYPSUM } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { TextField } from '../../ui/Field.js';
import { formatCount, formatMass } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import type { PreparationForm } from './preparation-form.js';

/** What is missing, in whole sacks where it is bought in sacks. */
export function Shopping({
  result,
  form,
  inStock,
  onChange,
}: {
  readonly result: BenchPreparation;
  readonly form: PreparationForm;
  /** What the box of grain on hand is filled with from the stock; empty when that is not known. */
  readonly inStock: string;
  readonly onChange: (change: Partial<PreparationForm>) => void;
}) {
  const has = (item: string) => result.shopping.some((line) => line.item === item);
  const box = (name: 'grainOnHand' | 'sack' | 'gypsumOnHand' | 'chalkOnHand') => ({
    unit: t('unit.kg'),
    inputMode: 'decimal' as const,
    value: form[name],
    onChange: (event: { target: { value: string } }) => onChange({ [name]: event.target.value }),
  });
  return (
    <Panel title={t('preparation.shopping')}>
      <DataTable
        caption={t('preparation.shopping')}
        rows={result.shopping}
        rowKey={({ item }) => item}
        columns={[
          { key: 'item', head: t('column.item'), cell: ({ item }) => item },
          { key: 'needed', head: t('column.needed'), numeric: true, cell: ({ neededG }) => formatMass(neededG) },
          { key: 'onHand', head: t('column.onHand'), numeric: true, cell: ({ onHandG }) => formatMass(onHandG) },
          {
            key: 'buy',
            head: t('column.toBuy'),
            numeric: true,
            cell: ({ buyG, packs }) =>
              packs === null
                ? formatMass(buyG)
                : t('preparation.packs', { packs: formatCount(packs), mass: formatMass(buyG) }),
          },
        ]}
      />
      <div className="field-grid">
        <TextField
          label={t('field.grainOnHand')}
          hint={t(inStock === '' ? 'preparation.onHandUnknown' : 'preparation.onHandKnown')}
          {...box('grainOnHand')}
        />
        <TextField label={t('field.sack')} hint={t('preparation.sackHint')} {...box('sack')} />
        {has(GYPSUM) && <TextField label={t('field.gypsumOnHand')} {...box('gypsumOnHand')} />}
        {result.chalkG > 0 && <TextField label={t('field.chalkOnHand')} {...box('chalkOnHand')} />}
      </div>
    </Panel>
  );
}
