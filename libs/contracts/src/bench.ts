import type { EntryKind, EntryPayloads } from '@jarfold/domain';
import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema, lineSchema } from './common.js';
import { carrierSchema as carrier, containerFormSchema as container } from './farm.js';

/**
 * The bench log over the wire. A tablet sends what happened, in the order of its hands, and gets an answer per entry;
 * it reads the farm's log by a cursor without gaps. Limits: 500 entries a request, 500 jars an entry.
 */
export const MAX_ENTRIES_PER_BATCH = 500;
export const MAX_JARS_PER_ENTRY = 500;
/** Characters of one entry's payload as JSON. A lot of 500 jars with places takes about 80,000. */
export const MAX_PAYLOAD_CHARACTERS = 200_000;
export const MAX_ENTRIES_PER_PULL = 1000;

/** Grams in steps a bench scale can show; anything above a tonne is a slip of the finger. */
const massG = z.number().min(0).max(1_000_000);
const positiveMassG = z.number().min(0.1).max(1_000_000);
const share = z.number().min(0).max(1);
const temperatureC = z.number().min(0).max(200);
const gaugePressureKpa = z.number().min(0).max(1000);
const minutes = z.number().min(0).max(10_000);
const count = z.number().int().min(1).max(100_000);
const code = lineSchema(40);
const line = lineSchema(120);
const text = z
  .string()
  .trim()
  .min(1)
  .max(2000)
  .refine((value) => !/[^\P{Cc}\n\t]/u.test(value), { error: 'Must not contain control characters.' });

const place = z.strictObject({
  shelfId: idSchema,
  row: z.number().int().min(1).max(100).optional(),
  place: z.number().int().min(1).max(1000).optional(),
});

const amount = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('grams'), massG: positiveMassG }),
  z.strictObject({ by: z.literal('half') }),
  z.strictObject({ by: z.literal('all_but_bottom') }),
  z.strictObject({ by: z.literal('all') }),
]);

const some = <T extends z.ZodType>(item: T) => z.array(item).min(1).max(MAX_JARS_PER_ENTRY);
const jarIds = some(idSchema);
const draws = some(z.strictObject({ jarId: idSchema, amount }));
const sizeCount = { sizeId: idSchema, count };

const newJar = {
  id: idSchema,
  serial: z.number().int().min(1).max(999).optional(),
  massG: positiveMassG.optional(),
  place: place.optional(),
};
const newLot = { lotId: idSchema, code: code.optional(), sizeId: idSchema };
const grainStep = { grainBatchId: idSchema, grain: line.optional(), dryGrainG: positiveMassG.optional() };
const wetGrain = { hydratedG: positiveMassG.optional(), moistureShare: z.number().min(0.01).max(0.99).optional() };
const cycleReading = {
  cycleId: idSchema,
  temperatureC: temperatureC.optional(),
  gaugePressureKpa: gaugePressureKpa.optional(),
  boilLost: z.boolean().optional().describe('The boil or the pressure was lost since the hold began.'),
};

/** The payload of each kind. The domain's own types are the measure: a difference does not compile. */
export const benchPayloadSchemas = {
  grain_soaked: z.strictObject({ ...grainStep, waterG: positiveMassG.optional() }),
  grain_simmered: z.strictObject({ ...grainStep, simmerMin: minutes.optional() }),
  grain_drained: z.strictObject(grainStep),
  grain_rested: z.strictObject({ ...grainStep, ...wetGrain }),
  grain_filled: z.strictObject({ ...grainStep, ...wetGrain, fills: z.array(z.strictObject(sizeCount)).min(1).max(50) }),
  cycle_started: z.strictObject({
    cycleId: idSchema,
    method: z.enum(['pressure', 'boiling_water_steam', 'two_day_steam', 'ready_bought']),
    steriliser: line.optional(),
    loads: z.array(z.strictObject({ ...sizeCount, grainBatchId: idSchema.optional() })).max(50),
  }),
  cycle_held: z.strictObject(cycleReading),
  cycle_ended: z.strictObject({ ...cycleReading, holdMin: minutes.optional() }),
  cycle_cooled: z.strictObject({ cycleId: idSchema, temperatureC: temperatureC.optional() }),
  culture_made: z.strictObject({
    ...newLot,
    strainId: idSchema,
    container,
    carrier,
    fromJarId: idSchema.optional(),
    jars: some(z.strictObject(newJar)),
  }),
  received: z.strictObject({
    ...newLot,
    strainId: idSchema,
    generation: z.number().int().min(0).max(20),
    container,
    carrier,
    supplier: line.optional(),
    madeOn: calendarDaySchema.optional(),
    jars: some(
      z.strictObject({
        ...newJar,
        code: code.optional(),
        ripeOn: calendarDaySchema.nullable().optional(),
        chilledOn: calendarDaySchema.optional(),
      }),
    ),
  }),
  inoculated: z.strictObject({
    ...newLot,
    strainId: idSchema,
    container: container.optional(),
    carrier: carrier.optional(),
    grainBatchId: idSchema.optional(),
    cycleId: idSchema.optional(),
    mothers: z
      .array(z.strictObject({ jarId: idSchema, amount }))
      .min(1)
      .max(50),
    jars: some(z.strictObject({ ...newJar, motherJarId: idSchema.optional() })),
  }),
  blanks_kept: z.strictObject({
    ...newLot,
    cycleId: idSchema.optional(),
    grainBatchId: idSchema.optional(),
    jars: some(z.strictObject(newJar)),
  }),
  checked: z.strictObject({
    jars: some(
      z.strictObject({
        jarId: idSchema,
        colonisedShare: share.optional(),
        ripe: z.boolean().optional(),
        vigour: z.enum(['strong', 'usual', 'slow', 'stalled']).optional(),
        netG: massG.optional(),
      }),
    ),
  }),
  contamination_found: z.strictObject({
    jarIds,
    finding: z.enum(['green_mould', 'black_mould', 'orange_mould', 'cobweb', 'bacteria', 'yeast', 'other', 'unknown']),
    sure: z.boolean(),
  }),
  shaken: z.strictObject({ jarIds }),
  moved: z.strictObject({ moves: some(z.strictObject({ jarId: idSchema, place })) }),
  chilled: z.strictObject({ jarIds, place: place.optional() }),
  warmed: z.strictObject({ jarIds, place: place.optional() }),
  mother_kept: z.strictObject({ jarIds }),
  mother_released: z.strictObject({ jarIds }),
  opened: z.strictObject({ jarIds }),
  drawn_for_jars: z.strictObject({ lotId: idSchema, draws }),
  drawn_for_run: z.strictObject({ runId: idSchema, draws }),
  emptied: z.strictObject({ jarIds }),
  washed: z.strictObject(sizeCount),
  containers_counted: z.strictObject({ sizeId: idSchema, cleanEmpty: z.number().int().min(0).max(100_000) }),
  broken: z.strictObject({ jarIds }),
  discarded: z.strictObject({
    jarIds,
    reason: z.enum(['contaminated', 'aged_out', 'stalled', 'surplus', 'other']),
  }),
  regrowth_tested: z.strictObject({ jarId: idSchema, days: z.number().int().min(1).max(60), regrew: z.boolean() }),
  harvested: z.strictObject({ runId: idSchema, flush: z.number().int().min(1).max(20), massG: positiveMassG }),
  noted: z.strictObject({ text, jarIds: jarIds.optional(), lotId: idSchema.optional() }),
  settled: z.strictObject({
    entryId: idSchema,
    way: z.enum(['take_what_is_left', 'take_another_jar', 'try_again', 'drop']),
    newEntryId: idSchema.optional(),
  }),
  corrected: z.strictObject({ entryId: idSchema, reason: lineSchema(500) }),
} as const satisfies { readonly [K in EntryKind]: z.ZodType<EntryPayloads[K]> };

export const benchKinds = Object.keys(benchPayloadSchemas) as readonly EntryKind[];

export function isBenchKind(kind: string): kind is EntryKind {
  return Object.hasOwn(benchPayloadSchemas, kind);
}

/** A tablet's clock may be wrong by decades, but it has never shown a moment before there were such clocks. */
const tabletClock = instantSchema.refine((moment) => moment >= '1970', {
  error: 'No clock shows a moment before 1970.',
});

const sequence = z.number().int().min(1).max(Number.MAX_SAFE_INTEGER);

/**
 * An entry as a tablet sends it. Kind and payload are read one entry at a time and not with the request: an entry the
 * server cannot read is answered as refused, and blocks nothing behind it.
 */
export const benchEntryInputSchema = z
  .strictObject({
    id: idSchema,
    sequence: sequence.describe('The device counts its entries 1, 2, 3 … without gaps.'),
    happenedAt: tabletClock.describe("The tablet's own clock."),
    staffId: idSchema.optional().describe('Who did it, on a shared tablet; without it, who is signed in.'),
    kind: z.string().regex(/^[a-z][a-z_]{0,39}$/),
    payload: z
      .record(z.string(), z.unknown())
      .refine((payload) => JSON.stringify(payload).length <= MAX_PAYLOAD_CHARACTERS, {
        error: `The payload is longer than ${MAX_PAYLOAD_CHARACTERS} characters.`,
      }),
  })
  .meta({ id: 'BenchEntryInput' });

export const benchBatchSchema = z
  .strictObject({
    deviceId: idSchema,
    sentAt: tabletClock.describe("The tablet's own clock when it sends: the server measures its offset by it."),
    entries: z.array(benchEntryInputSchema).min(1).max(MAX_ENTRIES_PER_BATCH),
  })
  .meta({ id: 'BenchBatch' });

/** The payloads by kind as one union, for readers of the API description and for programs that write entries. */
export const benchActionSchema = z
  .union(
    benchKinds.map((kind) => z.strictObject({ kind: z.literal(kind), payload: benchPayloadSchemas[kind] })) as never,
  )
  .meta({ id: 'BenchAction' });

const remark = z.object({ code: z.string(), details: z.record(z.string(), z.unknown()) });

export const benchAnswerSchema = z
  .discriminatedUnion('outcome', [
    z.object({
      outcome: z.literal('applied'),
      id: idSchema,
      sequence,
      position: z.number().int(),
      repeated: z.boolean().describe('True: it was here before, and this is the first answer again.'),
      warnings: z.array(remark),
      facts: z.record(z.string(), z.unknown()).describe('What the server settled, such as the code of a new lot.'),
    }),
    z.object({
      outcome: z.literal('refused'),
      id: idSchema,
      sequence,
      position: z.number().int(),
      repeated: z.boolean(),
      reason: z.string(),
      message: z.string().describe('What stands in the way and what to do, in English.'),
      obstacles: z.array(remark),
    }),
    z.object({
      outcome: z.literal('gap'),
      id: idSchema,
      sequence,
      sendFrom: sequence.describe('Entries are missing before this one: send again from this sequence.'),
    }),
  ])
  .meta({ id: 'BenchAnswer' });

export const benchBatchAnswerSchema = z
  .object({
    lastSequence: z.number().int().describe('The last sequence of this device that is stored.'),
    position: z.number().int().describe("The log's head after this request."),
    clockOffsetMs: z.number().int(),
    answers: z.array(benchAnswerSchema),
  })
  .meta({ id: 'BenchBatchAnswer' });

export const benchPullQuerySchema = z.strictObject({
  after: z.coerce.number().int().min(0).max(Number.MAX_SAFE_INTEGER).default(0),
  limit: z.coerce.number().int().min(1).max(MAX_ENTRIES_PER_PULL).default(200),
});

export const benchLogEntrySchema = z
  .object({
    position: z.number().int(),
    id: idSchema,
    deviceId: idSchema,
    sequence,
    staffId: idSchema,
    kind: z.string(),
    payload: z.record(z.string(), z.unknown()),
    happenedAt: instantSchema,
    effectiveAt: instantSchema,
    effectiveDay: z.iso.date(),
    recordedAt: instantSchema,
    outcome: z.enum(['applied', 'refused']),
    reason: z.string().nullable(),
    obstacles: z.array(remark),
    warnings: z.array(remark),
    facts: z.record(z.string(), z.unknown()),
    hash: z.string().regex(/^[0-9a-f]{64}$/),
  })
  .meta({ id: 'BenchLogEntry' });

export const benchPullSchema = z
  .object({
    entries: z.array(benchLogEntrySchema),
    next: z.number().int().describe('Pull after this position next time.'),
    head: z.number().int().describe('The last position there is.'),
  })
  .meta({ id: 'BenchPull' });

/** Entries one request looks at; a longer chain is walked in several. */
export const MAX_ENTRIES_PER_CHAIN_WALK = 20_000;

export const benchChainQuerySchema = z
  .strictObject({
    after: z.coerce.number().int().min(0).max(Number.MAX_SAFE_INTEGER).default(0),
    head: z
      .string()
      .regex(/^([0-9a-f]{64})?$/, 'The hash of the entry at `after`, as the answer before gave it.')
      .default(''),
  })
  .refine(({ after, head }) => (after === 0) === (head === ''), {
    error: 'Continue with both the position and the head of the answer before, or begin with neither.',
  });

export const benchChainSchema = z
  .object({
    intact: z.boolean(),
    checked: z.number().int().describe('Entries looked at.'),
    head: z
      .string()
      .regex(/^([0-9a-f]{64})?$/)
      .describe('Hash of the last entry looked at; empty before the first.'),
    next: z
      .number()
      .int()
      .nullable()
      .describe('There is more to look at: ask again with after = next and head = head. Null: the end was reached.'),
    fault: z
      .object({
        position: z.number().int(),
        kind: z.enum(['missing', 'content-changed', 'link-broken', 'head-differs']),
        message: z.string(),
      })
      .nullable(),
  })
  .meta({ id: 'BenchChain' });

export type BenchEntryInput = z.infer<typeof benchEntryInputSchema>;
export type BenchBatch = z.infer<typeof benchBatchSchema>;
export type BenchAnswer = z.infer<typeof benchAnswerSchema>;
export type BenchBatchAnswer = z.infer<typeof benchBatchAnswerSchema>;
export type BenchPullQuery = z.infer<typeof benchPullQuerySchema>;
export type BenchLogEntry = z.infer<typeof benchLogEntrySchema>;
export type BenchPull = z.infer<typeof benchPullSchema>;
export type BenchChainQuery = z.infer<typeof benchChainQuerySchema>;
export type BenchChain = z.infer<typeof benchChainSchema>;
