import type { AcceptedSituation } from './accepted-situation.js';
import type { OpenedUnit, PeggedDiscard, PeggedOrder, PeggedStart, PeggedUse } from './pegged-plan.js';
import type { Bucket, SpawnModel, UseVariable } from './spawn-model.js';

/** Less than this is rounding of the solver, not spawn. */
export const LEAST_GRAMS = 1e-3;

/**
 * Pours the grams of opened containers out: the uses of a bucket are served in order of day from its containers in
 * order of name, so that as few containers as possible serve two uses.
 */
export function pegBuckets(
  model: SpawnModel,
  values: Float64Array,
  opened: readonly (readonly OpenedUnit[])[],
  wants: InoculumWants,
): { readonly uses: PeggedUse[]; readonly discards: PeggedDiscard[] } {
  const uses: PeggedUse[] = [];
  const discards: PeggedDiscard[] = [];
  for (const bucket of model.buckets) {
    const pourer = new Pourer(bucket.until, unitsOf(bucket, opened[bucket.index]!));
    const ofBucket = model.uses.filter((use) => use.bucket === bucket.index && values[use.column]! > LEAST_GRAMS);
    for (const use of ofBucket.sort((one, other) => one.day - other.day)) {
      uses.push(...pegUse(bucket, use, values[use.column]!, pourer, wants));
    }
    discards.push(...pourer.rest());
  }
  return { uses: mergeUses(uses), discards };
}

/** Generation 0 is drawn by the gram, from what is too old first. */
export function pegCultures(
  situation: AcceptedSituation,
  orders: readonly PeggedOrder[],
  starts: readonly PeggedStart[],
): PeggedUse[] {
  return situation.strains.flatMap((strain) => {
    const onHand = situation.containers
      .filter((each) => each.strain === strain.index && each.kind === 'culture')
      .map(({ code, from, until, grams }) => ({ from: code, ready: from, until, grams }));
    const ordered = orders
      .filter((order) => order.strain === strain.index)
      .map(({ id, readyOn, units, gramsPerUnit }) => ({
        from: id,
        ready: readyOn,
        until: readyOn + strain.cultureLifeDays,
        grams: units * gramsPerUnit,
      }));
    const sources = [...onHand, ...ordered].sort(
      (one, other) => one.until - other.until || (one.from < other.from ? -1 : 1),
    );
    return starts
      .filter((start) => start.strain === strain.index && start.generation === 1)
      .flatMap((start) => drawCulture(sources, start));
  });
}

function drawCulture(
  sources: { readonly from: string; readonly ready: number; readonly until: number; grams: number }[],
  start: PeggedStart,
): PeggedUse[] {
  let wanted = start.containers * start.inoculumGramsEach;
  const uses: PeggedUse[] = [];
  for (const source of sources) {
    if (wanted <= LEAST_GRAMS || source.ready > start.benchDay || source.until < start.benchDay) continue;
    const grams = Math.min(source.grams, wanted);
    if (grams <= LEAST_GRAMS) continue;
    source.grams -= grams;
    wanted -= grams;
    const to = { kind: 'start', start: start.id } as const;
    uses.push({
      day: start.benchDay,
      from: source.from,
      generation: 0,
      grams,
      to,
      cold: false,
      opened: 0,
      openedOn: start.benchDay,
    });
  }
  return uses;
}

/** What each planned start still wants of inoculum. */
export class InoculumWants {
  private readonly wants: { readonly start: PeggedStart; readonly slotDay: number; grams: number }[];

  constructor(starts: readonly PeggedStart[]) {
    this.wants = starts
      .filter((start) => start.generation > 1)
      .map((start) => ({ start, slotDay: start.benchDay, grams: start.containers * start.inoculumGramsEach }));
  }

  /** Splits grams given on a bench day among the starts of one strain and generation. */
  split(
    strain: number,
    generation: number,
    slotDay: number,
    grams: number,
  ): { readonly start: string; readonly grams: number }[] {
    const parts: { start: string; grams: number }[] = [];
    let left = grams;
    for (const want of this.wants) {
      const { start } = want;
      if (start.strain !== strain || start.generation !== generation || want.slotDay !== slotDay) continue;
      const part = Math.min(left, want.grams);
      if (part <= LEAST_GRAMS / 10) continue;
      want.grams -= part;
      left -= part;
      parts.push({ start: start.id, grams: part });
    }
    return parts;
  }
}

function pegUse(bucket: Bucket, use: UseVariable, grams: number, pourer: Pourer, wants: InoculumWants): PeggedUse[] {
  const { to } = use;
  const { generation } = bucket;
  if (to.kind === 'run') {
    return pourer.pour(grams).map((part) => ({ ...part, day: use.day, generation, to }));
  }
  return wants
    .split(bucket.strain, generation + 1, use.day, grams)
    .flatMap(({ start, grams: wanted }) =>
      pourer.pour(wanted).map((part) => ({ ...part, day: use.day, generation, to: { kind: 'start', start } as const })),
    );
}

function unitsOf(bucket: Bucket, opened: readonly OpenedUnit[]): OpenedUnit[] {
  const onHand = bucket.openedStock.map(({ code, grams }) => ({ from: code, cold: false, day: 0, opens: 0, grams }));
  return [...onHand, ...[...opened].sort((one, other) => (one.from < other.from ? -1 : one.from > other.from ? 1 : 0))];
}

/** Pours the grams of opened containers out, one container after the other. */
export class Pourer {
  /** Day on which what nobody took is thrown away. */
  private readonly until: number;
  private readonly units: readonly OpenedUnit[];
  private at = 0;
  private poured = 0;

  constructor(until: number, units: readonly OpenedUnit[]) {
    this.until = until;
    this.units = units;
  }

  pour(grams: number): Pick<PeggedUse, 'from' | 'grams' | 'cold' | 'opened' | 'openedOn'>[] {
    const parts: Pick<PeggedUse, 'from' | 'grams' | 'cold' | 'opened' | 'openedOn'>[] = [];
    let wanted = grams;
    while (wanted > LEAST_GRAMS / 100 && this.at < this.units.length) {
      const unit = this.units[this.at]!;
      const part = Math.min(wanted, unit.grams - this.poured);
      const opened = this.poured === 0 ? unit.opens : 0;
      parts.push({ from: unit.from, grams: part, cold: unit.cold, opened, openedOn: unit.day });
      wanted -= part;
      this.poured += part;
      if (this.poured > unit.grams - LEAST_GRAMS / 100) this.next();
    }
    return parts;
  }

  /** What nobody took. A container that was opened and never poured is thrown away whole. */
  rest(): PeggedDiscard[] {
    const rests: PeggedDiscard[] = [];
    for (; this.at < this.units.length; this.next()) {
      const unit = this.units[this.at]!;
      const grams = unit.grams - this.poured;
      const containers = this.poured === 0 ? unit.opens : 0;
      if (grams > LEAST_GRAMS) rests.push({ day: this.until, from: unit.from, containers, grams });
    }
    return rests;
  }

  private next(): void {
    this.at += 1;
    this.poured = 0;
  }
}

/** Alike uses of one day as one. */
export function mergeUses(uses: readonly PeggedUse[]): PeggedUse[] {
  const merged = new Map<string, PeggedUse>();
  for (const use of uses) {
    const to = use.to.kind === 'run' ? `run|${use.to.run}|${use.to.choice}` : use.to.start;
    const key = [use.day, use.from, to, use.cold, use.openedOn].join('|');
    const before = merged.get(key) ?? { grams: 0, opened: 0 };
    merged.set(key, { ...use, grams: before.grams + use.grams, opened: before.opened + use.opened });
  }
  return [...merged.values()];
}
