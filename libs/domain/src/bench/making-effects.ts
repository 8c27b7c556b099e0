import { drawEffects } from './drawing-effects.js';
import { type AnyEffect, create, type Effect, touch } from './effect.js';
import type { Carrier, ContainerForm, EntryOf, NewJar, ReceivedJar } from './entry.js';
import type { EntryFacts } from './facts.js';
import { roundMassG } from './mass.js';
import { takenFromPreparation } from './preparation-effects.js';
import type { Jar, Lot, LotOrigin } from './thing.js';

type LotEntry = EntryOf<'culture_made'> | EntryOf<'received'> | EntryOf<'inoculated'> | EntryOf<'blanks_kept'>;

export function cultureEffects(entry: EntryOf<'culture_made'>, facts: EntryFacts): readonly AnyEffect[] {
  const lot = newLot(entry, facts, 'culture', entry.payload);
  const source: readonly AnyEffect[] =
    entry.payload.fromJarId === undefined ? [] : [touch('jar', entry.payload.fromJarId)];
  const jars = entry.payload.jars.map((jar, index) =>
    create('jar', jar.id, () =>
      newJar(entry, facts, lot, jar, index, { motherJarId: entry.payload.fromJarId ?? null }),
    ),
  );
  return [create('lot', lot.id, () => lot), ...source, ...jars];
}

/** Received spawn is ripe when it comes, unless the sender's dates say otherwise; it may carry its own codes. */
export function receivedEffects(entry: EntryOf<'received'>, facts: EntryFacts): readonly AnyEffect[] {
  const { payload } = entry;
  const lot: Lot = {
    ...newLot(entry, facts, 'received', payload),
    madeOn: payload.madeOn ?? entry.day,
    supplier: payload.supplier ?? null,
  };
  return [
    create('lot', lot.id, () => lot),
    ...payload.jars.map((jar, index) => receivedJar(entry, facts, lot, jar, index)),
  ];
}

function receivedJar(
  entry: EntryOf<'received'>,
  facts: EntryFacts,
  lot: Lot,
  jar: ReceivedJar,
  index: number,
): Effect<'jar'> {
  const ripeOn = jar.ripeOn === undefined ? entry.day : jar.ripeOn;
  return create('jar', jar.id, () => ({
    ...newJar(entry, facts, lot, jar, index, {}),
    ...(jar.code === undefined ? {} : { code: jar.code }),
    madeOn: lot.madeOn,
    ripeOn,
    colonisedShare: ripeOn === null ? null : 1,
    colonisedAtMs: ripeOn === null ? null : entry.atMs,
    chilledOn: jar.chilledOn ?? null,
    coldChangedAtMs: jar.chilledOn === undefined ? null : entry.atMs,
  }));
}

/** New jars from mothers: the mothers give their grams in the same entry, so an inoculation is never half logged. */
export function inoculationEffects(entry: EntryOf<'inoculated'>, facts: EntryFacts): readonly AnyEffect[] {
  const { payload } = entry;
  const { container = 'jar', carrier = 'grain' } = payload;
  const lot = newLot(entry, facts, 'inoculated', { ...payload, container, carrier });
  const onlyMother = payload.mothers.length === 1 ? (payload.mothers[0]?.jarId ?? null) : null;
  const jars = payload.jars.map((jar, index) =>
    create('jar', jar.id, () => newJar(entry, facts, lot, jar, index, { motherJarId: jar.motherJarId ?? onlyMother })),
  );
  return [
    ...drawEffects(entry, payload.mothers, { lotId: payload.lotId, runId: null }),
    ...takenFromPreparation(payload, payload.jars.length),
    create('lot', lot.id, () => lot),
    ...jars,
  ];
}

/** Blanks hold grain and no culture: no grams of spawn, no generation. */
export function blankEffects(entry: EntryOf<'blanks_kept'>, facts: EntryFacts): readonly AnyEffect[] {
  const { payload } = entry;
  const lot = newLot(entry, facts, 'blank', { ...payload, container: 'jar', carrier: 'grain' });
  const jars = payload.jars.map((jar, index) =>
    create('jar', jar.id, () => newJar(entry, facts, lot, jar, index, { blank: true })),
  );
  return [...takenFromPreparation(payload, payload.jars.length), create('lot', lot.id, () => lot), ...jars];
}

interface LotSource {
  readonly lotId: string;
  readonly sizeId: string;
  readonly container: ContainerForm;
  readonly carrier: Carrier;
  readonly strainId?: string;
  readonly grainBatchId?: string | undefined;
  readonly cycleId?: string | undefined;
  readonly jars: readonly NewJar[];
}

function newLot(entry: LotEntry, facts: EntryFacts, origin: LotOrigin, source: LotSource): Lot {
  return {
    id: source.lotId,
    code: facts.code ?? source.lotId,
    origin,
    strainId: source.strainId ?? null,
    generation: facts.generation ?? null,
    sizeId: source.sizeId,
    container: source.container,
    carrier: source.carrier,
    grainBatchId: source.grainBatchId ?? null,
    cycleId: source.cycleId ?? null,
    madeOn: entry.day,
    madeBy: entry.staffId,
    jarsMade: source.jars.length,
    supplier: null,
  };
}

/** Number of a new jar within its lot: what the label says, else its order in the entry. */
export function serialOf(jar: NewJar, index: number): number {
  return jar.serial ?? index + 1;
}

export function jarCodeOf(lotCode: string, serial: number): string {
  return `${lotCode}/${String(serial).padStart(2, '0')}`;
}

function newJar(
  entry: LotEntry,
  facts: EntryFacts,
  lot: Lot,
  jar: NewJar,
  index: number,
  { blank = false, motherJarId = null }: { readonly blank?: boolean; readonly motherJarId?: string | null },
): Jar {
  const madeG = blank ? 0 : roundMassG(jar.massG ?? facts.usualMassG ?? 0);
  const serial = serialOf(jar, index);
  return {
    ...UNTOUCHED,
    id: jar.id,
    lotId: lot.id,
    serial,
    code: jarCodeOf(lot.code, serial),
    strainId: lot.strainId,
    generation: lot.generation,
    sizeId: lot.sizeId,
    blank,
    motherJarId,
    madeAtMs: entry.atMs,
    madeOn: entry.day,
    madeG,
    leftG: madeG,
    madeGEstimated: !blank && jar.massG === undefined,
    place: jar.place ?? null,
    placedAtMs: jar.place ? entry.atMs : null,
  };
}

/** What nobody has done to a new jar yet. */
const UNTOUCHED = {
  drawnG: 0,
  discardedG: 0,
  colonisedShare: null,
  colonisedAtMs: null,
  ripeOn: null,
  chilledOn: null,
  warmedOn: null,
  coldChangedAtMs: null,
  openedOn: null,
  keptAsMother: false,
  motherChangedAtMs: null,
  contaminatedOn: null,
  finding: null,
  findingSure: null,
  shakenOn: null,
  shakes: 0,
  regrowthOn: null,
  regrowthDays: null,
  regrew: null,
  goneAtMs: null,
  goneOn: null,
  goneAs: null,
} as const satisfies Partial<Jar>;
