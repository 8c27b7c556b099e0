import { requireThat } from '../errors.js';

/** An ingredient needed, summed by name over all batches. */
export interface Need {
  readonly item: string;
  readonly massG: number;
}

export interface Stocked {
  readonly item: string;
  readonly onHandG: number;
  /** Mass of the pack it is bought in, or null when it is bought loose. */
  readonly packG: number | null;
}

export interface ShoppingLine {
  readonly item: string;
  readonly neededG: number;
  readonly onHandG: number;
  readonly missingG: number;
  /** Whole packs to buy, or null when it is bought loose. */
  readonly packs: number | null;
  /** What is bought: the missing mass, rounded up to whole packs. */
  readonly buyG: number;
}

/**
 * What to buy for the batches ahead. Items keep the order of their first need; what is on hand in plenty stays on the
 * list with nothing to buy, so that a person can see it was counted.
 * @throws DomainError `shopping-mass-out-of-range`, `item-stocked-twice`
 */
export function shoppingList(needs: readonly Need[], stock: readonly Stocked[]): readonly ShoppingLine[] {
  const stockByItem = new Map(stock.map((line) => [line.item, line]));
  requireThat(stockByItem.size === stock.length, 'item-stocked-twice', 'An item stands in the stock list twice.');
  const needed = new Map<string, number>();
  for (const { item, massG } of needs) {
    requireThat(massG >= 0 && Number.isFinite(massG), 'shopping-mass-out-of-range', `${item}: no need of ${massG} g.`);
    needed.set(item, (needed.get(item) ?? 0) + massG);
  }
  return [...needed].map(([item, massG]) => lineFor(item, massG, stockByItem.get(item)));
}

function lineFor(item: string, neededG: number, stocked: Stocked | undefined): ShoppingLine {
  const onHandG = stocked?.onHandG ?? 0;
  const packG = stocked?.packG ?? null;
  requireThat(
    onHandG >= 0 && (packG === null || packG > 0),
    'shopping-mass-out-of-range',
    `${item}: on hand ${onHandG} g, pack of ${packG} g cannot be.`,
  );
  const missingG = Math.max(0, neededG - onHandG);
  const packs = packG === null ? null : Math.max(0, Math.ceil(missingG / packG - 1e-9));
  return { item, neededG, onHandG, missingG, packs, buyG: packs === null || packG === null ? missingG : packs * packG };
}
