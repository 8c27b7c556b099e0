import { groupedBy } from '../grouped-by.js';
import type { AcceptedContainer } from './accepted-situation.js';
import { inoculumKey, type ModelDraft } from './model-draft.js';
import type { Bucket, RunVariables } from './spawn-model.js';

/**
 * Grams that stand open. A container is opened whole on one day; its grams go to runs and new containers on that day, or
 * within the opened life when it is kept, and the rest is thrown away. Which buckets are needed is known from what can
 * take grams on each day.
 */
export class BucketShelf {
  private readonly byKey = new Map<string, number>();
  private readonly targets: Map<string, Target[]>;
  private readonly draft: ModelDraft;

  constructor(draft: ModelDraft, runs: readonly RunVariables[], choiceRows: readonly (readonly number[])[]) {
    this.draft = draft;
    this.targets = collectTargets(draft, runs, choiceRows);
  }

  /** Whether anything takes grams of the strain and generation on the day. */
  hasUse(strain: number, generation: number, motherOnly: boolean, day: number): boolean {
    return this.targetsOn(strain, generation, motherOnly, day).length > 0;
  }

  /** The days on which something takes grams of the strain and generation, ascending. */
  useDays(strain: number, generation: number, motherOnly: boolean): number[] {
    const days = Array.from({ length: this.draft.situation.horizon + 1 }, (_, day) => day);
    return days.filter((day) => this.hasUse(strain, generation, motherOnly, day));
  }

  /** Whether grams opened on the day can still be of use on a later day of the opened life. */
  hasLaterUse(strain: number, generation: number, motherOnly: boolean, day: number): boolean {
    const { openedLifeDays } = this.draft.situation.rhythm;
    for (let later = 1; later <= openedLifeDays; later += 1) {
      if (this.hasUse(strain, generation, motherOnly, day + later)) return true;
    }
    return false;
  }

  /** The bucket for containers opened on the day; `kept` ones may be used up to the end of the opened life. */
  bucketFor(strain: number, generation: number, motherOnly: boolean, day: number, kept: boolean): number {
    const until = kept ? day + this.draft.situation.rhythm.openedLifeDays : day;
    const key = [strain, generation, motherOnly, day, until].join('|');
    const known = this.byKey.get(key);
    if (known !== undefined) return known;
    const bucket = this.addBucket({ strain, generation, motherOnly, day, until, openedStock: [] }, 0);
    this.byKey.set(key, bucket);
    return bucket;
  }

  /** Containers that stand open on the planning day. */
  addOpenedStock(containers: readonly AcceptedContainer[]): void {
    const groups = groupedBy(containers, ({ strain, generation, keptAsMother, until }) =>
      [strain, generation, keptAsMother, until].join('|'),
    );
    for (const group of groups.values()) {
      const { strain, generation, keptAsMother, until } = group[0]!;
      const openedStock = group.map(({ code, grams }) => ({ code, grams }));
      const grams = group.reduce((sum, container) => sum + container.grams, 0);
      this.addBucket({ strain, generation, motherOnly: keptAsMother, day: 0, until, openedStock }, grams);
    }
  }

  private addBucket(what: Omit<Bucket, 'index' | 'row' | 'waste'>, grams: number): number {
    const { builder, buckets, situation } = this.draft;
    const row = builder.row(grams, grams);
    const waste = builder.column({ cost: situation.costs.perGramAgedOut });
    builder.term(row, waste, 1);
    const bucket = { ...what, index: buckets.length, row, waste };
    buckets.push(bucket);
    this.addUses(bucket);
    return bucket.index;
  }

  private addUses(bucket: Bucket): void {
    const { builder, uses } = this.draft;
    for (let day = bucket.day; day <= bucket.until; day += 1) {
      for (const target of this.targetsOn(bucket.strain, bucket.generation, bucket.motherOnly, day)) {
        const column = builder.column({ cost: target.costPerGram });
        builder.term(bucket.row, column, 1);
        for (const row of target.rows) builder.term(row, column, 1);
        uses.push({ column, bucket: bucket.index, day, to: target.to });
      }
    }
  }

  private targetsOn(strain: number, generation: number, motherOnly: boolean, day: number): readonly Target[] {
    const toMothering = this.targets.get(`start|${strain}|${generation}|${day}`) ?? [];
    if (motherOnly || generation === 0) return toMothering;
    return [
      ...(this.targets.get(`run|${strain}|${day}`) ?? []).map((target) => aged(this.draft, target, generation)),
      ...toMothering,
    ];
  }
}

interface Target {
  readonly rows: readonly number[];
  readonly costPerGram: number;
  readonly to: ModelDraft['uses'][number]['to'];
}

function aged({ situation }: ModelDraft, target: Target, generation: number): Target {
  return { ...target, costPerGram: target.costPerGram + situation.costs.perGramGeneration * generation };
}

function collectTargets(
  draft: ModelDraft,
  runs: readonly RunVariables[],
  choiceRows: readonly (readonly number[])[],
): Map<string, Target[]> {
  const targets = new Map<string, Target[]>();
  const add = (key: string, target: Target) => targets.set(key, [...(targets.get(key) ?? []), target]);
  runs.forEach(({ run, choices, coverRow }, place) => {
    choices.forEach(({ strain, day }, choice) => {
      const costPerGram = draft.situation.costs.perGramSecondChoice * run.strains.indexOf(strain);
      const rows = [coverRow, choiceRows[place]![choice]!];
      add(`run|${strain}|${day}`, { rows, costPerGram, to: { kind: 'run', run: run.index, choice } });
    });
  });
  for (const strain of draft.situation.strains) {
    for (const slot of draft.slots) {
      for (let child = 2; child <= strain.lastGeneration; child += 1) {
        const row = draft.inoculumRows.get(inoculumKey(strain.index, child, slot.index));
        if (row === undefined) continue;
        add(`start|${strain.index}|${child - 1}|${slot.day}`, {
          rows: [row],
          costPerGram: 0,
          to: { kind: 'start', slot: slot.index },
        });
      }
    }
  }
  return targets;
}
