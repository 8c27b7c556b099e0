import type { WeeklyBook } from '@jarfold/domain';
import type { SheetDraft } from '../writing/sheet-draft.js';
import { countColumn, dayColumn, text } from './book-columns.js';

/** Orders for whole jars, to read: they are changed on the screens, so that bulk runs go out and come back as before. */
export function orderSheetDraft({ orders, units }: WeeklyBook): SheetDraft {
  return {
    name: 'Orders',
    title: ['Jars for others', 'To read only: an order is changed in Jarfold, and nothing written here is read back.'],
    columns: [
      text('Order', 26),
      dayColumn('Day', units),
      text('Strains', 14),
      text('Size', 16),
      countColumn('Jars', { total: true }),
      countColumn('Handed over', { width: 12, total: true }),
      countColumn('Covered', { total: true }),
      text('For whom', 28),
      text('Note', 36),
    ],
    rows: orders.map(({ name, day, strains, size, jars, handedOver, covered, forWhom, note }) => [
      name,
      { day },
      ...[strains, size, jars, handedOver, covered, forWhom, note],
    ]),
    whenEmpty: 'No orders.',
  };
}
