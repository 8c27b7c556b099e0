import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema } from './common.js';
import { roomKinds } from './farm.js';

/** What is on hand, where it stands and how long it lasts. Derived from the bench log; read only. */

const grams = z.number();
const count = z.number().int();

/** States of a jar that still stands somewhere. */
export const onHandStates = ['incubating', 'ripe', 'chilled', 'opened', 'contaminated'] as const;

/**
 * How a jar stands against its strain's storage life: `growing` is not ripe yet, `good` has most of its life left,
 * `soon` is in the last quarter of it, `past` is beyond it, `none` for a contaminated one.
 */
export const freshnessKinds = ['growing', 'good', 'soon', 'past', 'none'] as const;

export const stockRowSchema = z.object({
  strainId: idSchema,
  strainCode: z.string(),
  strainName: z.string(),
  generation: z.number().int(),
  state: z.enum(onHandStates),
  count,
  grams,
  keptAsMothers: count,
  /** By whole weeks since the jar was made. */
  ages: z.array(z.object({ fromWeek: z.number().int(), count, grams })),
  freshness: z.object({ growing: count, good: count, soon: count, past: count, none: count }),
  /** The earliest day on which one of them is ripe (incubating) or too old (ripe, chilled, opened). */
  firstRipeOn: calendarDaySchema.nullable(),
  firstExpiresOn: calendarDaySchema.nullable(),
});

export const stockOverviewSchema = z
  .object({
    asOf: calendarDaySchema,
    rows: z.array(stockRowSchema),
    totals: z.object({ count, grams }),
  })
  .meta({ id: 'StockOverview' });

export const jarPlaceSchema = z.object({
  roomId: idSchema,
  roomName: z.string(),
  roomKind: z.enum(roomKinds),
  shelfId: idSchema.nullable(),
  shelfName: z.string().nullable(),
  /** 1 is the top row and the leftmost place. */
  row: z.number().int().nullable(),
  place: z.number().int().nullable(),
});

export const jarStates = [...onHandStates, 'emptied', 'discarded', 'broken'] as const;

const jarFields = {
  id: idSchema,
  code: z.string(),
  strainId: idSchema,
  strainCode: z.string(),
  strainName: z.string(),
  generation: z.number().int(),
  sizeId: idSchema,
  sizeName: z.string(),
  state: z.enum(jarStates),
  madeOn: calendarDaySchema,
  /** Seen ripe, or expected when `ripeExpected`. */
  ripeOn: calendarDaySchema.nullable(),
  ripeExpected: z.boolean(),
  chilledOn: calendarDaySchema.nullable(),
  openedOn: calendarDaySchema.nullable(),
  gramsLeft: grams,
  /** Share colonised at the last check, 0 to 1; null: never checked. */
  shareColonised: z.number().nullable(),
  keptAsMother: z.boolean(),
  place: jarPlaceSchema.nullable(),
  ageDays: z.number().int(),
  expiresOn: calendarDaySchema.nullable(),
  /** Days until it is too old; negative when it is. */
  daysLeft: z.number().int().nullable(),
  freshness: z.enum(freshnessKinds),
};

export const jarSchema = z.object(jarFields).meta({ id: 'Jar' });

export const jarSorts = ['code', 'newest'] as const;

export const jarQuerySchema = z
  .strictObject({
    strainId: idSchema.optional(),
    generation: z.coerce.number().int().min(0).max(20).optional(),
    state: z.enum(jarStates).optional(),
    roomId: idSchema.optional(),
    /** Begins with, letters in any case. */
    code: z.string().trim().max(40).optional(),
    /** Only jars that still stand somewhere; left out: true unless `state` says otherwise. */
    onHand: z.enum(['true', 'false']).optional(),
    sort: z.enum(jarSorts).default('code'),
    cursor: z.string().max(400).optional(),
    limit: z.coerce.number().int().min(1).max(500).default(100),
  })
  .meta({ id: 'JarQuery' });

export const jarListSchema = z
  .object({ items: z.array(jarSchema), next: z.string().nullable() })
  .meta({ id: 'JarList' });

export const jarRelativeSchema = z.object({
  jarId: idSchema,
  code: z.string(),
  generation: z.number().int(),
  state: z.enum(jarStates),
  madeOn: calendarDaySchema,
});

export const jarEntrySchema = z.object({
  entryId: idSchema,
  position: z.number().int(),
  kind: z.string(),
  happenedAt: instantSchema,
  recordedAt: instantSchema,
  /** Opaque; names are asked for elsewhere and can be erased. */
  staffId: idSchema.nullable(),
  /** Voided by a later correcting entry. */
  corrected: z.boolean(),
  /** What the entry says, as logged. */
  payload: z.record(z.string(), z.unknown()),
});

export const jarDetailSchema = z
  .object({
    jar: jarSchema,
    lotId: idSchema,
    lotCode: z.string().nullable(),
    /** From its mother up to the culture. */
    mothers: z.array(jarRelativeSchema),
    /** Jars made from it; at most 200, `daughtersCount` counts all. */
    daughters: z.array(jarRelativeSchema),
    daughtersCount: count,
    /** Newest first, at most 200. */
    entries: z.array(jarEntrySchema),
  })
  .meta({ id: 'JarDetail' });

const drawnJarSchema = z.object({
  id: idSchema,
  code: z.string(),
  strainCode: z.string(),
  generation: z.number().int(),
  state: z.enum(onHandStates),
  shareColonised: z.number().nullable(),
  /** The share its white fill is drawn with: last seen, or worked out from its age. */
  drawnShare: z.number(),
  ageDays: z.number().int(),
  daysLeft: z.number().int().nullable(),
  freshness: z.enum(freshnessKinds),
  keptAsMother: z.boolean(),
});

export const drawnShelfSchema = z.object({
  id: idSchema,
  name: z.string(),
  rows: z.number().int(),
  placesPerRow: z.number().int(),
  /** Only places that hold a jar. */
  jars: z.array(drawnJarSchema.extend({ row: z.number().int(), place: z.number().int() })),
});

export const drawnRoomSchema = z.object({
  id: idSchema,
  name: z.string(),
  kind: z.enum(roomKinds),
  temperatureC: z.number().nullable(),
  places: z.number().int(),
  jars: count,
  shelves: z.array(drawnShelfSchema),
  /** In the room, but nobody said on which shelf; at most 500, `looseCount` counts all. */
  loose: z.array(drawnJarSchema),
  looseCount: count,
});

export const drawnRoomsSchema = z
  .object({
    asOf: calendarDaySchema,
    rooms: z.array(drawnRoomSchema),
    /** On hand, but in no room. */
    nowhere: z.array(drawnJarSchema),
    nowhereCount: count,
  })
  .meta({ id: 'DrawnRooms' });

export const ageingQuerySchema = z
  .strictObject({
    /** Jars that expire within so many days, and those past it. */
    days: z.coerce.number().int().min(0).max(365).default(14),
  })
  .meta({ id: 'AgeingQuery' });

export const ageingJarSchema = jarSchema.extend({
  /** What the plan does with it before it is too old; `none`: it is stranded. */
  planned: z.enum(['run', 'mother', 'none']).nullable(),
  /** When it is first used so. */
  plannedOn: calendarDaySchema.nullable(),
  /** Name of the run or order that it goes into. */
  plannedRun: z.string().nullable(),
});

export const ageingSchema = z
  .object({ asOf: calendarDaySchema, items: z.array(ageingJarSchema), count, grams })
  .meta({ id: 'Ageing' });

export type StockOverview = z.infer<typeof stockOverviewSchema>;
export type StockRow = z.infer<typeof stockRowSchema>;
export type Jar = z.infer<typeof jarSchema>;
export type JarQuery = z.infer<typeof jarQuerySchema>;
export type JarList = z.infer<typeof jarListSchema>;
export type JarDetail = z.infer<typeof jarDetailSchema>;
export type DrawnJar = z.infer<typeof drawnJarSchema>;
export type DrawnRooms = z.infer<typeof drawnRoomsSchema>;
export type AgeingQuery = z.infer<typeof ageingQuerySchema>;
export type Ageing = z.infer<typeof ageingSchema>;
