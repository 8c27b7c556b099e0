import type { FarmSearch } from './farm-search.js';
import type { Lot } from './field-lot.js';
import type { HandOut } from './hand-out.js';
import { NO_LOT } from './opened-groups.js';
import { NONE, type PoolVariables, type SpawnModel } from './spawn-model.js';
import type { StrainSearch } from './strain-search.js';

/**
 * What a search has decided as the whole-number columns of the programme that are not 0, or null when the programme has no
 * column for something: the search may open a container on days on which the programme would not.
 */
export function wholeColumns(farm: FarmSearch, model: SpawnModel): Map<number, number> | null {
  const writer = new ColumnWriter(farm, model);
  return writer.write() ? writer.whole : null;
}

class ColumnWriter {
  readonly whole = new Map<number, number>();
  private readonly farm: FarmSearch;
  private readonly model: SpawnModel;
  private isWritten = true;

  constructor(farm: FarmSearch, model: SpawnModel) {
    this.farm = farm;
    this.model = model;
  }

  write(): boolean {
    this.farm.searches.forEach((search, strain) => {
      this.writeStrain(search, strain);
    });
    for (const { column, slot } of this.model.cycles)
      this.add(column, Math.ceil(this.farm.shared.total.cycles[slot.index]! - 1e-9));
    this.model.runs.forEach(({ choices }, run) => {
      if (choices.length > 1) this.add(choices[this.farm.chosen[run]!]!.chosen, 1);
    });
    return this.isWritten;
  }

  private writeStrain(search: StrainSearch, strain: number): void {
    const { handOut, field, counts } = search;
    search.lift();
    handOut.trace = {
      toRun: () => undefined,
      toStart: () => undefined,
      missing: () => undefined,
      kept: (lot, chillDay) => this.chill(strain, field.lots[lot]!, chillDay, 1),
      ordered: (slot, units) => {
        const orders = this.model.cultures.find((culture) => culture.strain === strain)?.orders ?? [];
        this.add(orders.find((order) => order.slot.index === slot)?.column, units);
      },
    };
    search.evaluate();
    handOut.trace = null;
    this.model.starts
      .filter((start) => start.strain === strain)
      .forEach((start, place) => {
        this.add(start.column, counts[place]!);
      });
    for (let group = 0; group < handOut.opened.size; group += 1) this.writeGroup(strain, handOut, group);
    search.settle();
  }

  private writeGroup(strain: number, handOut: HandOut, group: number): void {
    const place = handOut.opened.lot[group]!;
    if (place === NO_LOT) return;
    const lot = handOut.field.lots[place]!;
    const count = handOut.opened.count[group]!;
    const chillDay = handOut.opened.chillDay[group]!;
    const day = handOut.opened.day[group]!;
    if (chillDay >= 0) this.chill(strain, lot, chillDay, count);
    const pool = this.poolOf(strain, lot);
    const cold = lot.inCold || chillDay >= 0;
    const batch = cold ? NONE : batchOf(pool, lot);
    const ways = (pool?.openings ?? []).filter(
      (opening) => opening.day === day && opening.cold === cold && opening.batch === batch,
    );
    const lasting = ways.filter((way) => this.model.buckets[way.bucket]!.until >= handOut.opened.lastUse[group]!);
    this.add(lasting[0]?.column, count);
  }

  private chill(strain: number, lot: Lot, day: number, count: number): void {
    const pool = this.poolOf(strain, lot);
    const batch = batchOf(pool, lot);
    this.add(pool?.chillings.find((each) => each.day === day && each.batch === batch)?.column, count);
  }

  private poolOf(strain: number, lot: Lot): PoolVariables | undefined {
    return this.model.pools.find(
      (pool) =>
        pool.strain === strain &&
        pool.generation === lot.generation &&
        pool.size === lot.size &&
        pool.motherOnly === lot.motherOnly &&
        pool.gramsEach.toFixed(4) === lot.gramsEach.toFixed(4),
    );
  }

  private add(column: number | undefined, by: number): void {
    if (column === undefined) this.isWritten = false;
    else if (by !== 0) this.whole.set(column, (this.whole.get(column) ?? 0) + by);
  }
}

function batchOf(pool: PoolVariables | undefined, lot: Lot): number {
  return pool?.batches.findIndex((batch) => batch.from === lot.from && batch.until === lot.until) ?? NONE;
}
