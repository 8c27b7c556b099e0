import {
  type Farm,
  type NewOrder,
  newOrderSchema,
  type OrderJson,
  type RunPatch,
  runPatchSchema,
} from '@jarfold/contracts';
import { canSpawnSubstrate } from '@jarfold/domain';
import { type CheckedBody, checkedBody } from '../../ui/checked-body.js';
import { percentText, readPercent } from '../../ui/percent.js';
import { readNumber } from '../../ui/read-number.js';
import { changedOnly, withoutEmpty } from './form-body.js';

/** An order as its boxes hold it: text, as typed. An empty box means: leave it to the starting value. */
export interface OrderFormValues {
  readonly name: string;
  readonly day: string;
  readonly strainIds: readonly string[];
  readonly jars: string;
  readonly sizeId: string;
  readonly forWhom: string;
  readonly minShare: string;
  readonly priority: string;
  readonly slackDays: string;
  readonly note: string;
}

export const EMPTY_ORDER: OrderFormValues = {
  ...{ name: '', day: '', strainIds: [], jars: '', sizeId: '', forWhom: '' },
  ...{ minShare: '', priority: '', slackDays: '', note: '' },
};

export function orderValuesOf(order: OrderJson): OrderFormValues {
  return {
    name: order.name,
    day: order.day,
    strainIds: order.strains.map(({ id }) => id),
    jars: String(order.jars),
    sizeId: order.size.id,
    forWhom: order.forWhom ?? '',
    minShare: percentText(order.minShare),
    priority: String(order.priority),
    slackDays: String(order.slackDays),
    note: order.note ?? '',
  };
}

/** Sizes an order can be for: in use, and of spawn. Plates and syringes are cultures. */
export function sizesToOrder(farm: Farm, chosenId: string): Farm['sizes'] {
  return farm.sizes.filter(({ id, archived, carrier }) => id === chosenId || (!archived && canSpawnSubstrate(carrier)));
}

/** The body of a new order; what was left empty is left out, so that the starting values apply. */
export function newOrderBody(values: OrderFormValues): CheckedBody<NewOrder> {
  const fields = numbersOf(values);
  return checkedBody(
    newOrderSchema,
    withoutEmpty({
      ...fields,
      kind: 'order',
      name: values.name.trim() || undefined,
      day: values.day,
      strainIds: values.strainIds,
      sizeId: values.sizeId,
      forWhom: values.forWhom.trim() || undefined,
      note: values.note.trim() || undefined,
      // A number that is missing must be told at its box, not taken for left out.
      jars: fields.jars ?? Number.NaN,
    }),
  );
}

/** Only what was changed: another person's edit of another field is then not undone by accident. */
export function orderPatchBody(before: OrderFormValues, after: OrderFormValues): CheckedBody<RunPatch> {
  const fields = numbersOf(after);
  const all = {
    name: after.name.trim(),
    day: after.day,
    strainIds: after.strainIds,
    jars: fields.jars ?? Number.NaN,
    sizeId: after.sizeId,
    forWhom: after.forWhom.trim() || null,
    minShare: fields.minShare ?? Number.NaN,
    priority: fields.priority ?? Number.NaN,
    slackDays: fields.slackDays ?? Number.NaN,
    note: after.note.trim() || null,
  };
  return checkedBody(runPatchSchema, changedOnly(before, after, all));
}

function numbersOf(values: OrderFormValues) {
  return {
    jars: readNumber(values.jars) ?? undefined,
    minShare: readPercent(values.minShare) ?? undefined,
    priority: readNumber(values.priority) ?? undefined,
    slackDays: readNumber(values.slackDays) ?? undefined,
  };
}
