import type { AcceptedStrain } from './accepted-situation.js';
import { inoculumKey, type ModelDraft } from './model-draft.js';
import { type CultureVariables, NONE } from './spawn-model.js';

/**
 * Generation 0: on hand, or ordered in whole units that are ready on a bench day. It is drawn in part, by the gram, until
 * it is too old; starts of generation 1 take what they need.
 */
export function addCultures(draft: ModelDraft): CultureVariables[] {
  return draft.situation.strains.map((strain) => addCulture(draft, strain));
}

function addCulture(draft: ModelDraft, strain: AcceptedStrain): CultureVariables {
  const orders = addOrders(draft, strain);
  const slots = draft.slots.filter((slot) => draft.inoculumRows.has(inoculumKey(strain.index, 1, slot.index)));
  const onHand = draft.situation.containers.filter((each) => each.strain === strain.index && each.kind === 'culture');
  const { builder } = draft;
  let before = NONE;
  let counted = -1;
  for (const slot of slots) {
    const left = builder.column();
    const used = builder.column();
    const thrownAway = builder.column();
    builder.term(draft.inoculumRows.get(inoculumKey(strain.index, 1, slot.index))!, used, 1);
    const balance = builder.row(0, 0, [
      [left, 1],
      [used, 1],
      [thrownAway, 1],
    ]);
    if (before !== NONE) builder.term(balance, before, -1);
    const fresh = builder.row(Number.NEGATIVE_INFINITY, 0, [
      [left, 1],
      [used, 1],
    ]);
    for (const culture of onHand) {
      if (culture.from > counted && culture.from <= slot.day) builder.shift(balance, -culture.grams);
      if (culture.from <= slot.day && slot.day <= culture.until) builder.shift(fresh, -culture.grams);
    }
    for (const order of orders) {
      if (order.slot === slot) builder.term(balance, order.column, -order.gramsPerUnit);
      const age = slot.day - order.slot.day;
      if (age >= 0 && age <= strain.cultureLifeDays) builder.term(fresh, order.column, -order.gramsPerUnit);
    }
    before = left;
    counted = slot.day;
  }
  return { strain: strain.index, orders };
}

function addOrders(draft: ModelDraft, strain: AcceptedStrain): CultureVariables['orders'] {
  const { culture } = strain;
  if (culture === null || culture.containersPerUnit <= 0) return [];
  const gramsPerUnit = culture.containersPerUnit * strain.inoculumGrams;
  const orders = draft.slots
    .filter((slot) => slot.day >= culture.leadDays && draft.inoculumRows.has(inoculumKey(strain.index, 1, slot.index)))
    .map((slot) => ({ slot, gramsPerUnit, column: draft.builder.column({ cost: culture.costPerUnit, whole: true }) }));
  const available = culture.unitsAvailable ?? null;
  if (available !== null && orders.length > 0) {
    const row = draft.builder.row(
      Number.NEGATIVE_INFINITY,
      available,
      orders.map((order) => [order.column, 1]),
    );
    draft.limits.push({ row, kind: 'culture', day: 0, subject: strain.id, capacity: available });
  }
  return orders;
}
