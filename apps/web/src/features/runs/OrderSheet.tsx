import type { Farm, OrderJson } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DayField, SelectField, TextField } from '../../ui/Field.js';
import { formatMass } from '../../ui/format/index.js';
import {
  EMPTY_ORDER,
  newOrderBody,
  type OrderFormValues,
  orderPatchBody,
  orderValuesOf,
  sizesToOrder,
} from './order-form.js';
import { CommonBoxes, type RunForm, RunFormSheet } from './RunFormSheet.js';
import { onlyStrain, StrainChoice } from './StrainChoice.js';

/** Adds an order for jars, or edits one. */
export function OrderSheet({
  farm,
  order,
  onClose,
}: {
  readonly farm: Farm;
  readonly order: OrderJson | null;
  readonly onClose: () => void;
}) {
  return (
    <RunFormSheet
      run={order}
      addTitle={t('command.addOrder')}
      initial={() => (order ? orderValuesOf(order) : emptyOrderOf(farm))}
      newBody={newOrderBody}
      patchBody={orderPatchBody}
      onClose={onClose}
    >
      {(form) => (
        <>
          <p className="soft">{t('orders.what')}</p>
          <OrderBoxes farm={farm} form={form} />
        </>
      )}
    </RunFormSheet>
  );
}

/** A farm with one strain or one size need not choose it. */
function emptyOrderOf(farm: Farm): OrderFormValues {
  const sizes = sizesToOrder(farm, '');
  return { ...EMPTY_ORDER, strainIds: onlyStrain(farm), sizeId: sizes.length === 1 ? sizes[0]!.id : '' };
}

function OrderBoxes({ farm, form }: { readonly farm: Farm; readonly form: RunForm<OrderFormValues> }) {
  const { values, box } = form;
  return (
    <>
      <DayField label={t('field.orderDay')} required {...box('day')} />
      <TextField label={t('field.orderJars')} inputMode="numeric" required {...box('jars')} />
      <SelectField label={t('field.orderSize')} required {...box('sizeId')}>
        {values.sizeId === '' && <option value="">{t('text.choose')}</option>}
        {sizesToOrder(farm, values.sizeId).map(({ id, name, ripeGrams }) => (
          <option key={id} value={id}>
            {t('orders.size', { size: name, mass: formatMass(ripeGrams.value) })}
          </option>
        ))}
      </SelectField>
      <StrainChoice
        farm={farm}
        chosen={values.strainIds}
        onChoose={(strainIds) => form.set({ strainIds })}
        error={form.error('/strainIds')}
      />
      <TextField label={t('field.forWhom')} hint={t('orders.forWhomHint')} {...box('forWhom')} />
      <details className="more">
        <summary>{t('orders.more')}</summary>
        <div className="stack">
          <TextField label={t('field.orderName')} hint={t('runs.nameHint')} {...box('name')} />
          <CommonBoxes form={form} minimumHint="orders.minimumHint" />
        </div>
      </details>
    </>
  );
}
