import type { BenchThings } from '@jarfold/domain';
import { z } from 'zod';
import { benchLogEntrySchema } from './bench.js';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema } from './common.js';
import { carrierSchema, roomKinds } from './farm.js';
import { roleSchema } from './identity.js';

/**
 * What a tablet keeps of its farm, so that the bench works without a network: one snapshot, true at a position of the
 * log, and then the present state of everything that entries after a position have touched. Both come from one
 * database moment, so applying them in order gives the server's own tables.
 */

/** The language tablet and server speak. A server understands its own and the one before. */
export const BENCH_PROTOCOL = 1;
export const OLDEST_BENCH_PROTOCOL = 1;
/** Sent by a tablet: the protocol it speaks. Left out, a program takes what the server speaks. */
export const PROTOCOL_HEADER = 'jarfold-bench-protocol';
/** Sent by the server with every bench answer: `<oldest>-<newest>`. */
export const PROTOCOLS_HEADER = 'jarfold-bench-protocols';
/** Sent by a tablet: whose work it holds. Another farm's session must neither see nor send it. */
export const GROWER_HEADER = 'jarfold-grower';

/** Further behind than this, a tablet takes the snapshot again instead of the changes. */
export const MAX_ENTRIES_BEHIND = 5000;
export const MAX_PHOTO_BYTES = 307_200;
export const MAX_PHOTO_PIXELS = 4096;

const grams = z.number();
const count = z.number().int();

/** Rows of one kind without the names of their fields repeated: ten thousand jars in a third of the bytes. */
const packedSchema = z.object({ fields: z.array(z.string()), rows: z.array(z.array(z.unknown())) });
export type Packed = z.infer<typeof packedSchema>;

/** Kinds a tablet keeps. Harvests are written at the bench and read at the desk. */
export const TABLET_KINDS = ['jar', 'lot', 'grainBatch', 'cycle', 'pool'] as const;
export type TabletKind = (typeof TABLET_KINDS)[number];

/** Every field of each kind: one too few or too many does not compile. */
const FIELDS_OF: { readonly [K in TabletKind]: Readonly<Record<keyof BenchThings[K], true>> } = {
  jar: {
    id: true,
    lotId: true,
    serial: true,
    code: true,
    strainId: true,
    generation: true,
    sizeId: true,
    blank: true,
    motherJarId: true,
    madeAtMs: true,
    madeOn: true,
    madeG: true,
    drawnG: true,
    leftG: true,
    discardedG: true,
    madeGEstimated: true,
    colonisedShare: true,
    colonisedAtMs: true,
    ripeOn: true,
    chilledOn: true,
    warmedOn: true,
    coldChangedAtMs: true,
    openedOn: true,
    keptAsMother: true,
    motherChangedAtMs: true,
    contaminatedOn: true,
    finding: true,
    findingSure: true,
    shakenOn: true,
    shakes: true,
    regrowthOn: true,
    regrowthDays: true,
    regrew: true,
    place: true,
    placedAtMs: true,
    goneAtMs: true,
    goneOn: true,
    goneAs: true,
  },
  lot: {
    id: true,
    code: true,
    origin: true,
    strainId: true,
    generation: true,
    sizeId: true,
    container: true,
    carrier: true,
    grainBatchId: true,
    cycleId: true,
    madeOn: true,
    madeBy: true,
    jarsMade: true,
    supplier: true,
  },
  grainBatch: {
    id: true,
    code: true,
    grain: true,
    begunOn: true,
    dryGrainG: true,
    hydratedG: true,
    moistureShare: true,
    stepAtMs: true,
    filled: true,
    loaded: true,
  },
  cycle: {
    id: true,
    code: true,
    method: true,
    steriliser: true,
    loads: true,
    used: true,
    startedAtMs: true,
    startedOn: true,
    heldAtMs: true,
    endedAtMs: true,
    cooledAtMs: true,
    holdMin: true,
    temperatureC: true,
    gaugePressureKpa: true,
  },
  pool: { id: true, cleanEmpty: true },
};
const fieldsOf = (kind: TabletKind): readonly string[] => Object.keys(FIELDS_OF[kind]);

export type TabletThings = { readonly [K in TabletKind]: readonly BenchThings[K][] };
export type PackedThings = Record<TabletKind, Packed>;

export function packThings(things: TabletThings): PackedThings {
  return Object.fromEntries(TABLET_KINDS.map((kind) => [kind, pack(fieldsOf(kind), things[kind])])) as PackedThings;
}

function pack(fields: readonly string[], things: readonly object[]): Packed {
  const rows = things.map((thing) => fields.map((field) => (thing as Readonly<Record<string, unknown>>)[field]));
  return { fields: [...fields], rows };
}

/**
 * The things of a snapshot as the bench rules know them.
 * @throws TypeError when a field the rules need is missing: the snapshot came from another protocol.
 */
export function unpackThings(packed: PackedThings): TabletThings {
  return Object.fromEntries(TABLET_KINDS.map((kind) => [kind, unpack(kind, packed[kind])])) as unknown as TabletThings;
}

function unpack(kind: TabletKind, { fields, rows }: Packed): readonly object[] {
  const missing = fieldsOf(kind).filter((field) => !fields.includes(field));
  if (missing.length > 0) throw new TypeError(`The snapshot's ${kind} rows lack ${missing.join(', ')}.`);
  return rows.map((row) => Object.fromEntries(fields.map((field, at) => [field, row[at]])));
}

/** One job of the day, from the plan the day began with, and how much of it the log says is done. */
export const benchJobSchema = z.object({
  key: z.string().describe('The same work has the same key in every plan.'),
  day: calendarDaySchema,
  kind: z.enum(['fill', 'sterilise', 'inoculate', 'chill', 'warm', 'use', 'culture']),
  strainId: idSchema.nullable(),
  generation: count.nullable(),
  sizeId: idSchema.nullable(),
  runId: idSchema.nullable(),
  /** A jar's code, or what the plan calls something it makes itself. */
  from: z.string().nullable(),
  /** Where the grams come from, in the plan's order: first expired, first out. Another jar may be taken. */
  sources: z.array(z.object({ from: z.string(), grams })),
  unit: z.enum(['containers', 'cycles', 'grams', 'units']),
  wanted: z.number(),
  done: z.number(),
});

export const benchJobsSchema = z
  .object({
    day: calendarDaySchema,
    planId: idSchema.nullable(),
    jobs: z.array(benchJobSchema),
  })
  .meta({ id: 'BenchJobs' });

const benchFacts = {
  position: z.number().int().describe('The position of the log all this is true at: ask for changes after it.'),
  takenAt: instantSchema,
  today: calendarDaySchema,
  farm: z.object({ growerId: idSchema, name: z.string(), timeZone: z.string() }),
  settings: z.object({
    grain: z.string(),
    targetMoisture: z.number().nullable(),
    altitudeM: z.number().nullable(),
    openedLifeDays: z.number().int(),
  }),
  staff: z.array(z.object({ id: idSchema, name: z.string(), role: roleSchema })),
  strains: z.array(
    z.object({
      id: idSchema,
      shortCode: z.string(),
      name: z.string(),
      speciesKey: z.string(),
      lastGeneration: z.number().int(),
      mayBeChilled: z.boolean(),
      inoculumG: grams,
      daysToRipe: z.number(),
      warmLifeDays: z.number(),
      coldLifeDays: z.number(),
      archived: z.boolean(),
    }),
  ),
  sizes: z.array(
    z.object({
      id: idSchema,
      name: z.string(),
      container: z.string(),
      carrier: carrierSchema,
      volumeMl: z.number(),
      ripeG: grams,
      dryGrainG: grams.nullable(),
      inoculumFactor: z.number(),
      archived: z.boolean(),
    }),
  ),
  rooms: z.array(z.object({ id: idSchema, name: z.string(), kind: z.enum(roomKinds), archived: z.boolean() })),
  shelves: z.array(
    z.object({
      id: idSchema,
      roomId: idSchema,
      name: z.string(),
      rows: z.number().int(),
      placesPerRow: z.number().int(),
      archived: z.boolean(),
    }),
  ),
  runs: z.array(
    z.object({
      id: idSchema,
      name: z.string(),
      day: calendarDaySchema,
      strainIds: z.array(idSchema),
      open: z.boolean(),
      minG: grams,
      targetG: grams,
      order: z
        .object({ sizeId: idSchema, jars: count, handedOver: count })
        .nullable()
        .describe('An order for whole jars of a size; null: a bulk run.'),
    }),
  ),
  jobs: benchJobsSchema,
};

/** The farm around the jars: lists, settings, people, the day's jobs. They change without an entry in the log. */
export const benchFactsSchema = z.object(benchFacts).meta({ id: 'BenchFacts' });

export const benchSnapshotSchema = z
  .object({
    ...benchFacts,
    things: z.object({
      jar: packedSchema,
      lot: packedSchema,
      grainBatch: packedSchema,
      cycle: packedSchema,
      pool: packedSchema,
    }),
  })
  .meta({ id: 'BenchSnapshot' });

export const benchChangesQuerySchema = z.strictObject({
  after: z.coerce.number().int().min(0).max(Number.MAX_SAFE_INTEGER),
});

export const benchChangesSchema = z
  .object({
    position: z.number().int().describe('What is here is true at this position.'),
    tooOld: z.boolean().describe('Too far behind, or ahead of the log: take the snapshot again. Nothing else is here.'),
    things: z.array(
      z.object({
        kind: z.enum(TABLET_KINDS),
        id: idSchema,
        state: z.record(z.string(), z.unknown()).nullable().describe('Null: a correction took its making back.'),
      }),
    ),
  })
  .meta({ id: 'BenchChanges' });

/** Ways to settle an entry that was refused. */
export const SETTLEMENT_WAYS = ['take_what_is_left', 'take_another_jar', 'try_again', 'drop'] as const;

/** Whose hands an entry came from and what for, in names; null where the farm no longer knows it. */
const entryNames = {
  by: z.string().nullable().describe('Who did it.'),
  tablet: z.string().nullable().describe('The tablet it was logged on; null for a desk.'),
  purpose: z.string().nullable().describe('What the grams were for: the bulk run, or the lot that was made.'),
};

/** An entry that took from a jar before the refused one came in: the other half of "two people, one jar". */
const earlierDrawSchema = z.object({
  entryId: idSchema,
  kind: z.string(),
  effectiveAt: instantSchema,
  massG: grams.nullable().describe('Null: the jar went as a whole, such as by being discarded.'),
  estimated: z.boolean().describe('The grams were said as a part of the jar and not weighed.'),
  ...entryNames,
});

export const refusedEntrySchema = z.object({
  entry: benchLogEntrySchema,
  ...entryNames,
  message: z.string(),
  ways: z.array(z.enum(SETTLEMENT_WAYS)).describe('What one tap can do about it; dropping is always possible.'),
  jarsInTheWay: z.array(
    z.object({
      jarId: idSchema,
      code: z.string(),
      leftG: grams.nullable(),
      askedG: grams.nullable(),
      earlier: z.array(earlierDrawSchema).describe('What was taken from it already, the newest first; at most 5.'),
    }),
  ),
  otherJars: z
    .array(z.object({ jarId: idSchema, code: z.string(), leftG: grams }))
    .describe('Jars of the same strain that hold enough, the soonest to expire first.'),
});
export const refusedListSchema = z.object({ items: z.array(refusedEntrySchema) }).meta({ id: 'RefusedEntries' });

/** A refused entry whose settlement stands, and who settled it how. */
export const settledEntrySchema = z.object({
  entry: benchLogEntrySchema,
  ...entryNames,
  way: z.enum(SETTLEMENT_WAYS),
  settledAt: instantSchema,
  settledBy: z.string().nullable().describe('Who settled it; null where the farm no longer knows the name.'),
});
export const settledListSchema = z.object({ items: z.array(settledEntrySchema) }).meta({ id: 'SettledEntries' });

export const settleSchema = z
  .discriminatedUnion('way', [
    z.strictObject({ way: z.literal('take_what_is_left') }),
    z.strictObject({ way: z.literal('take_another_jar'), jarId: idSchema }),
    z.strictObject({ way: z.literal('try_again') }),
    z.strictObject({ way: z.literal('drop') }),
  ])
  .meta({ id: 'SettleRefused' });
export const settledSchema = z
  .object({ settledBy: idSchema, newEntryId: idSchema.nullable(), position: z.number().int() })
  .meta({ id: 'SettledRefused' });
export const unsettledSchema = z
  .object({ settlementId: idSchema.describe('The settlement that stands no longer.'), position: z.number().int() })
  .meta({ id: 'UnsettledRefused' });

/** A JPEG as base64; what it is, is read from its first bytes and not believed from its name. */
export const newPhotoSchema = z
  .strictObject({
    entryId: idSchema.describe('The entry it belongs to, which must be stored already.'),
    jpegBase64: z
      .string()
      .max(Math.ceil(MAX_PHOTO_BYTES / 3) * 4)
      .regex(/^[A-Za-z0-9+/]+={0,2}$/, 'Not base64 (RFC 4648 section 4).'),
  })
  .meta({ id: 'NewBenchPhoto' });
export const photoSchema = z
  .object({
    photoId: idSchema,
    entryId: idSchema,
    staffId: idSchema,
    bytes: z.number().int(),
    widthPx: z.number().int(),
    heightPx: z.number().int(),
    recordedAt: instantSchema,
  })
  .meta({ id: 'BenchPhoto' });
export const photoQuerySchema = z.strictObject({ entryId: idSchema.optional(), jarId: idSchema.optional() });
export const photoListSchema = z.object({ items: z.array(photoSchema) }).meta({ id: 'BenchPhotoList' });

export type BenchJobRow = z.infer<typeof benchJobSchema>;
export type BenchJobs = z.infer<typeof benchJobsSchema>;
export type BenchFacts = z.infer<typeof benchFactsSchema>;
export type BenchSnapshot = z.infer<typeof benchSnapshotSchema>;
export type BenchChangesQuery = z.infer<typeof benchChangesQuerySchema>;
export type BenchChanges = z.infer<typeof benchChangesSchema>;
export type RefusedEntry = z.infer<typeof refusedEntrySchema>;
export type RefusedList = z.infer<typeof refusedListSchema>;
export type SettledEntry = z.infer<typeof settledEntrySchema>;
export type SettledList = z.infer<typeof settledListSchema>;
export type Settle = z.infer<typeof settleSchema>;
export type Settled = z.infer<typeof settledSchema>;
export type Unsettled = z.infer<typeof unsettledSchema>;
export type NewPhoto = z.infer<typeof newPhotoSchema>;
export type Photo = z.infer<typeof photoSchema>;
export type PhotoQuery = z.infer<typeof photoQuerySchema>;
export type PhotoList = z.infer<typeof photoListSchema>;
