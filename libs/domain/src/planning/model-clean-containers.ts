import type { ModelDraft } from './model-draft.js';
import { NONE, type PoolVariables } from './spawn-model.js';

/**
 * Clean empty containers, for each size that the farm counts. One is taken when it is filled on the preparation day and
 * comes back some days after it was emptied: on the day it is opened, at the end of the opened life when it is kept
 * open, or when it is thrown away.
 */
export function addCleanContainerRows(draft: ModelDraft, pools: readonly PoolVariables[]): void {
  for (const size of draft.situation.sizes) {
    if (size.cleanEmpty !== null) new CleanRows(draft, size.index, size.cleanEmpty, pools).add();
  }
}

interface Return {
  readonly cleanOn: number;
  readonly column: number;
  readonly count: number;
}

class CleanRows {
  private readonly draft: ModelDraft;
  private readonly size: number;
  private readonly onHand: number;
  private readonly returns: readonly Return[];

  constructor(draft: ModelDraft, size: number, onHand: number, pools: readonly PoolVariables[]) {
    this.draft = draft;
    this.size = size;
    this.onHand = onHand;
    this.returns = [
      ...this.stockReturns(),
      ...pools.filter((pool) => pool.size === size).flatMap((pool) => this.poolReturns(pool)),
    ];
  }

  add(): void {
    const { builder, slots, starts, situation, limits } = this.draft;
    let before = NONE;
    let counted = Number.NEGATIVE_INFINITY;
    for (const slot of slots) {
      const left = builder.column();
      const row = builder.row(0, 0, [[left, 1]]);
      if (before === NONE) builder.shift(row, -this.onHand);
      else builder.term(row, before, -1);
      for (const start of starts) {
        if (start.slot !== slot || start.size !== this.size) continue;
        builder.term(row, start.column, 1);
        builder.shift(row, -start.prepared);
      }
      for (const back of this.returns) {
        if (back.cleanOn <= counted || back.cleanOn > slot.preparationDay) continue;
        if (back.column === NONE) builder.shift(row, -back.count);
        else builder.term(row, back.column, -1);
      }
      limits.push({
        row,
        kind: 'clean-containers',
        day: slot.day,
        subject: situation.sizes[this.size]!.id,
        capacity: this.onHand,
      });
      before = left;
      counted = Math.max(counted, slot.preparationDay);
    }
  }

  private poolReturns(pool: PoolVariables): Return[] {
    const { washingDays } = this.draft.situation.rhythm;
    const opened = pool.openings.map(({ column, bucket }) => ({
      column,
      cleanOn: this.draft.buckets[bucket]!.until + washingDays,
    }));
    const thrownAway = pool.discardings.map(({ column, day }) => ({ column, cleanOn: day + washingDays }));
    return [...opened, ...thrownAway].map((back) => ({ ...back, count: 0 }));
  }

  private stockReturns(): Return[] {
    const { containers, rhythm } = this.draft.situation;
    return containers
      .filter((each) => each.size === this.size && each.kind === 'opened')
      .map((each) => ({ cleanOn: each.until + rhythm.washingDays, column: NONE, count: 1 }));
  }
}
