import type { Farm, OrderJson } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useChangeRun } from '../../api/runs.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { errorAt } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { DayField, SelectField, TextField } from '../../ui/Field.js';
import { formatMass } from '../../ui/format/index.js';
import { SideSheet } from '../../ui/SideSheet.js';
import {
  EMPTY_ORDER,
  newOrderBody,
  type OrderFormValues,
  orderPatchBody,
  orderValuesOf,
  sizesToOrder,
} from './order-form.js';
import { onlyStrain, StrainChoice } from './StrainChoice.js';

/** Adds an order for jars, or edits one. Saved means planned anew. */
export function OrderSheet({
  farm,
  order,
  onClose,
}: {
  readonly farm: Farm;
  readonly order: OrderJson | null;
  readonly onClose: () => void;
}) {
  const change = useChangeRun();
  const [before] = useState(() => (order ? orderValuesOf(order) : emptyOrderOf(farm)));
  const [values, setValues] = useState<OrderFormValues>(before);
  const [errors, setErrors] = useState<ReadonlyMap<string, string>>(new Map());
  // One id per opened sheet: sent twice, it is still one order.
  const [newId] = useState(() => crypto.randomUUID());
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (order) {
      const checked = orderPatchBody(before, values);
      setErrors(checked.ok ? new Map() : checked.errors);
      if (!checked.ok) return;
      if (Object.keys(checked.body).length === 0) return onClose();
      const { id, revision } = order;
      change.mutate({ kind: 'edit', id, revision, patch: checked.body }, { onSuccess: onClose });
    } else {
      const checked = newOrderBody(values);
      setErrors(checked.ok ? new Map() : checked.errors);
      if (checked.ok) change.mutate({ kind: 'add', run: { ...checked.body, id: newId } }, { onSuccess: onClose });
    }
  };
  return (
    <SideSheet title={order ? t('runs.editTitle', { run: order.name }) : t('command.addOrder')} onClose={onClose}>
      <form className="stack" onSubmit={submit} noValidate>
        {change.error && <Failure error={change.error} />}
        <p className="soft">{t('orders.what')}</p>
        <OrderBoxes
          farm={farm}
          values={values}
          onChange={setValues}
          error={(at) => errorAt(at, errors, change.error)}
        />
        <div className="row">
          <Button type="submit" look="main" busy={change.isPending}>
            {t('command.save')}
          </Button>
          <Button onClick={onClose}>{t('command.discardChanges')}</Button>
        </div>
      </form>
    </SideSheet>
  );
}

/** A farm with one strain or one size need not choose it. */
function emptyOrderOf(farm: Farm): OrderFormValues {
  const sizes = sizesToOrder(farm, '');
  return { ...EMPTY_ORDER, strainIds: onlyStrain(farm), sizeId: sizes.length === 1 ? sizes[0]!.id : '' };
}

function OrderBoxes({
  farm,
  values,
  onChange,
  error,
}: {
  readonly farm: Farm;
  readonly values: OrderFormValues;
  readonly onChange: (values: OrderFormValues) => void;
  readonly error: (pointer: string) => string | undefined;
}) {
  const box = (name: Exclude<keyof OrderFormValues, 'strainIds'>) => ({
    value: values[name],
    error: error(`/${name}`),
    onChange: (event: { target: { value: string } }) => onChange({ ...values, [name]: event.target.value }),
  });
  return (
    <>
      <DayField label={t('field.orderDay')} required {...box('day')} />
      <div className="field-grid">
        <TextField label={t('field.orderJars')} inputMode="numeric" required {...box('jars')} />
        <SelectField label={t('field.orderSize')} required {...box('sizeId')}>
          {values.sizeId === '' && <option value="">{t('text.choose')}</option>}
          {sizesToOrder(farm, values.sizeId).map(({ id, name, ripeGrams }) => (
            <option key={id} value={id}>
              {t('orders.size', { size: name, mass: formatMass(ripeGrams.value) })}
            </option>
          ))}
        </SelectField>
      </div>
      <StrainChoice
        farm={farm}
        chosen={values.strainIds}
        onChoose={(strainIds) => onChange({ ...values, strainIds })}
        error={error('/strainIds')}
      />
      <TextField label={t('field.forWhom')} hint={t('orders.forWhomHint')} {...box('forWhom')} />
      <details className="more">
        <summary>{t('orders.more')}</summary>
        <div className="stack">
          <TextField label={t('field.orderName')} hint={t('runs.nameHint')} {...box('name')} />
          <div className="field-grid">
            <TextField
              label={t('field.minimum')}
              hint={t('orders.minimumHint')}
              unit={t('unit.percent')}
              inputMode="decimal"
              {...box('minShare')}
            />
            <TextField
              label={t('field.priority')}
              hint={t('runs.priorityHint')}
              inputMode="numeric"
              {...box('priority')}
            />
            <TextField
              label={t('field.slack')}
              hint={t('runs.slackHint')}
              unit={t('unit.days')}
              inputMode="numeric"
              {...box('slackDays')}
            />
          </div>
          <TextField label={t('field.note')} {...box('note')} />
        </div>
      </details>
    </>
  );
}
