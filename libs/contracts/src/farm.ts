import { type Carrier, type ContainerForm, strainCodeProblem } from '@jarfold/domain';
import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, lineSchema, timeZoneSchema } from './common.js';

/**
 * The farm's own lists and settings: rooms, shelves, strains, container sizes, work rhythm, costs, and the first start.
 * Editable things carry `revision`; an edit sends it back as `If-Match: "<revision>"`.
 */

const name = lineSchema(80);
const share = z.number().min(0).max(1);
const shareBelowOne = z.number().min(0).lt(1, 'A share lost lies from 0 to below 1.');
const wholeDays = z.number().int().min(0).max(3650);
const money = z.number().min(0).max(1_000_000);
const revision = z.number().int().positive();
/** Made by the caller, so that a request sent twice makes one thing. Left out: the server makes one. */
const clientId = idSchema.optional();

/** Where a value comes from: the farm wrote it, the species' published default, or worked out from other values. */
export const valueOrigins = ['farm', 'species', 'derived', 'starting-value'] as const;

/**
 * A value with where it comes from. `source` names the publication of a species' value; `confidence` says how far it
 * was checked, `note` what was measured. All three are null for the farm's own word.
 */
const sourced = <T extends z.ZodType>(value: T) =>
  z.object({
    value,
    origin: z.enum(valueOrigins),
    source: z.string().nullable(),
    confidence: z.enum(['read', 'copy', 'memory', 'common practice']).nullable(),
    note: z.string().nullable(),
  });

// --- rooms and shelves -----------------------------------------------------------------------------------------------

export const roomKinds = ['incubation', 'cold', 'fruiting', 'prep'] as const;

export const roomSchema = z
  .object({
    id: idSchema,
    revision,
    name: z.string(),
    kind: z.enum(roomKinds),
    temperatureC: z.number().nullable(),
    /** Sum over its shelves in use. */
    places: z.number().int(),
    archived: z.boolean(),
  })
  .meta({ id: 'Room' });

const roomFields = {
  name,
  kind: z.enum(roomKinds),
  temperatureC: z.number().min(-30).max(60).nullable(),
};

export const newRoomSchema = z
  .strictObject({ id: clientId, ...roomFields, temperatureC: roomFields.temperatureC.optional() })
  .meta({ id: 'NewRoom' });
export const roomPatchSchema = z
  .strictObject({ ...roomFields, archived: z.boolean() })
  .partial()
  .meta({ id: 'RoomPatch' });

export const shelfSchema = z
  .object({
    id: idSchema,
    revision,
    roomId: idSchema,
    name: z.string(),
    rows: z.number().int(),
    placesPerRow: z.number().int(),
    archived: z.boolean(),
  })
  .meta({ id: 'Shelf' });

const shelfFields = {
  roomId: idSchema,
  name,
  rows: z.number().int().min(1).max(50),
  placesPerRow: z.number().int().min(1).max(500),
};

export const newShelfSchema = z.strictObject({ id: clientId, ...shelfFields }).meta({ id: 'NewShelf' });
export const shelfPatchSchema = z
  .strictObject({ ...shelfFields, archived: z.boolean() })
  .partial()
  .meta({ id: 'ShelfPatch' });

// --- species and strains ---------------------------------------------------------------------------------------------

const sourcedNumber = sourced(z.number());

/** What the species' published values say, or common practice where nothing is published. */
export const speciesSchema = z
  .object({
    key: z.string(),
    latinName: z.string(),
    commonName: z.string(),
    defaults: z.object({
      inoculumGramsPerContainer: sourcedNumber,
      daysToRipe: sourcedNumber,
      lossRate: sourcedNumber,
      warmLifeDays: sourcedNumber,
      coldLifeDays: sourcedNumber,
      mayBeChilled: sourced(z.boolean()),
      lastGeneration: sourcedNumber,
      /** Spawn as a share of wet substrate mass. */
      spawnRate: sourcedNumber,
      incubationTemperatureC: sourcedNumber,
    }),
  })
  .meta({ id: 'Species' });

export const speciesListSchema = z.object({ items: z.array(speciesSchema) }).meta({ id: 'SpeciesList' });

export const cultureSupplySchema = z.strictObject({
  leadDays: wholeDays,
  containersPerUnit: z.number().int().positive().max(1000),
  costPerUnit: money,
});

export const strainSchema = z
  .object({
    id: idSchema,
    revision,
    /** Short code that begins its lot codes, such as `OY3`. */
    code: z.string(),
    name: z.string(),
    speciesKey: z.string(),
    speciesName: z.string(),
    inoculumGramsPerContainer: sourcedNumber,
    daysToRipe: sourcedNumber,
    lossRate: sourcedNumber,
    warmLifeDays: sourcedNumber,
    coldLifeDays: sourcedNumber,
    mayBeChilled: sourced(z.boolean()),
    lastGeneration: sourcedNumber,
    motherReserve: z.number().int(),
    culture: cultureSupplySchema.nullable(),
    archived: z.boolean(),
  })
  .meta({ id: 'Strain' });

/** Short, and safe in a spreadsheet: `MAR1` would become a date there. */
const strainCodeSchema = z
  .string()
  .trim()
  .toUpperCase()
  .max(7)
  .refine((text) => strainCodeProblem(text) === null, {
    error: (issue) =>
      `${String(issue.input)} cannot be a strain code: use two to four letters and up to three digits, such as OY3, that a spreadsheet does not read as a date, money or a truth value.`,
  });

/** null puts a value back to the species default. */
const strainValues = {
  inoculumGramsPerContainer: z.number().positive().max(5000).nullable(),
  daysToRipe: z.number().int().min(1).max(365).nullable(),
  lossRate: shareBelowOne.nullable(),
  warmLifeDays: wholeDays.nullable(),
  coldLifeDays: wholeDays.nullable(),
  mayBeChilled: z.boolean().nullable(),
  lastGeneration: z.number().int().min(1).max(10).nullable(),
};

const strainFields = {
  code: strainCodeSchema,
  name,
  speciesKey: z.string().min(1).max(60),
  motherReserve: z.number().int().min(0).max(1000),
  culture: cultureSupplySchema.nullable(),
};

export const newStrainSchema = z
  .strictObject({
    id: clientId,
    speciesKey: strainFields.speciesKey,
    code: strainCodeSchema.optional(),
    name: name.optional(),
    motherReserve: strainFields.motherReserve.optional(),
    culture: strainFields.culture.optional(),
    ...z.strictObject(strainValues).partial().shape,
  })
  .meta({ id: 'NewStrain' });
export const strainPatchSchema = z
  .strictObject({ ...strainFields, ...strainValues, archived: z.boolean() })
  .partial()
  .meta({ id: 'StrainPatch' });

// --- container sizes -------------------------------------------------------------------------------------------------

/** What spawn lives in, and on. */
export const containerForms = [
  ...(['jar', 'bag', 'bottle', 'plate', 'syringe', 'slant'] as const),
] as const satisfies readonly ContainerForm[];
export const carriers = ['grain', 'sawdust', 'plugs', 'agar', 'liquid'] as const satisfies readonly Carrier[];
export const containerFormSchema = z.enum(containerForms);
export const carrierSchema = z.enum(carriers);

export const containerSizeSchema = z
  .object({
    id: idSchema,
    revision,
    name: z.string(),
    container: containerFormSchema,
    carrier: carrierSchema,
    volumeMl: z.number(),
    /** Ripe spawn in a full one: weighed by the farm, or worked out from the volume. */
    ripeGrams: sourcedNumber,
    /** Dry grain for one, grams; worked out from the volume and the farm's grain. */
    dryGrainG: sourcedNumber,
    inoculumFactor: z.number(),
    vesselPlaces: z.number(),
    shelfPlaces: z.number(),
    /** Clean empty ones on hand; null when they do not limit. */
    cleanEmpty: z.number().int().nullable(),
    archived: z.boolean(),
  })
  .meta({ id: 'ContainerSize' });

export const containerVolumeSchema = z.number().min(20, 'At least 20 ml.').max(50_000, 'At most 50 litres.');

const sizeFields = {
  name,
  container: containerFormSchema,
  carrier: carrierSchema,
  volumeMl: containerVolumeSchema,
  /** null: worked out from the volume. */
  ripeGrams: z.number().positive().max(50_000).nullable(),
  inoculumFactor: z.number().positive().max(100),
  vesselPlaces: z.number().positive().max(100),
  shelfPlaces: z.number().positive().max(100),
  cleanEmpty: z.number().int().min(0).max(1_000_000).nullable(),
};

export const newContainerSizeSchema = z
  .strictObject({
    id: clientId,
    name: name.optional(),
    volumeMl: sizeFields.volumeMl,
    ...z.strictObject(sizeFields).omit({ name: true, volumeMl: true }).partial().shape,
  })
  .meta({ id: 'NewContainerSize' });
export const containerSizePatchSchema = z
  .strictObject({ ...sizeFields, archived: z.boolean() })
  .partial()
  .meta({ id: 'ContainerSizePatch' });

// --- settings: rhythm, costs, grain ----------------------------------------------------------------------------------

const isoWeekday = z.union([1, 2, 3, 4, 5, 6, 7].map((day) => z.literal(day as 1 | 2 | 3 | 4 | 5 | 6 | 7)));

const rhythmFields = {
  /** ISO weekdays, Monday is 1. */
  benchWeekdays: z.array(isoWeekday).max(7),
  closedDays: z.array(calendarDaySchema).max(400),
  benchContainersPerDay: z.number().int().min(0).max(100_000),
  benchMinutesPerDay: z.number().int().positive().max(1440).nullable(),
  benchMinutesPerContainer: z.number().min(0).max(600),
  vesselPlaces: z.number().int().min(1).max(100_000),
  cyclesPerPreparationDay: z.number().int().min(0).max(48),
  preparationLeadDays: z.number().int().min(0).max(14),
  openedLifeDays: z.number().int().min(0).max(60),
  washingDays: z.number().int().min(0).max(60),
};

const costFields = {
  perContainerStarted: money,
  perCycle: money,
  perGramAgedOut: money,
  perGramShort: money,
  perGramBelowTarget: money,
  perGramGeneration: money,
  perGramDayOld: money,
};

const settingsFields = {
  /** What the farm is called. */
  name,
  timeZone: timeZoneSchema,
  /** ISO 4217. */
  currency: z.string().regex(/^[A-Z]{3}$/, 'Write an ISO 4217 currency code such as EUR.'),
  /** How far ahead to plan, days. */
  horizonDays: z.number().int().min(14).max(366),
  /** Key of the grain the farm uses; see `grains` of the farm. */
  grain: z.string().min(1).max(40),
  /** Target moisture of the grain on a wet basis, 0 to 1; null: the starting value. */
  targetMoisture: z.number().min(0.2).max(0.8).nullable(),
  /** Above sea level, metres; null: not said, taken as 0. */
  altitudeM: z.number().min(-500).max(6000).nullable(),
  rhythm: z.strictObject(rhythmFields),
  costs: z.strictObject(costFields),
};

export const farmSettingsSchema = z
  .object({ revision, ...settingsFields, rhythm: z.object(rhythmFields), costs: z.object(costFields) })
  .meta({ id: 'FarmSettings' });
export const farmSettingsPatchSchema = z
  .strictObject({
    ...settingsFields,
    rhythm: z.strictObject(rhythmFields).partial(),
    costs: z.strictObject(costFields).partial(),
  })
  .partial()
  .meta({ id: 'FarmSettingsPatch' });

export const grainChoiceSchema = z.object({
  key: z.string(),
  name: z.string(),
  bulkDensityKgPerL: z.number(),
  moisture: share,
  source: z.string().nullable(),
});

/** Everything the screens need to know about the farm itself, in one answer. */
export const farmSchema = z
  .object({
    /** False until the first start was made or a strain was added: show the three questions. */
    started: z.boolean(),
    /** The farm's calendar day now. */
    today: calendarDaySchema,
    settings: farmSettingsSchema,
    rooms: z.array(roomSchema),
    shelves: z.array(shelfSchema),
    strains: z.array(strainSchema),
    sizes: z.array(containerSizeSchema),
    grains: z.array(grainChoiceSchema),
  })
  .meta({ id: 'Farm' });

// --- the first start -------------------------------------------------------------------------------------------------

/** Three questions: what do you grow, what have you, what comes next. The rest has defaults, all editable afterwards. */
export const firstStartSchema = z
  .strictObject({
    strain: z.strictObject({ speciesKey: z.string().min(1).max(60), name: name.optional() }),
    /** Ripe jars on hand. */
    ripeJars: z.number().int().min(0).max(2000),
    run: z.strictObject({
      day: calendarDaySchema,
      substrateWetKg: z.number().positive().max(100_000),
    }),
    /** The tablet's zone; left out: UTC. */
    timeZone: timeZoneSchema.optional(),
    /** Volume of the jars, millilitres; left out: 1000. */
    jarVolumeMl: containerVolumeSchema.optional(),
    /** Generation of the ripe jars; left out: 1. */
    generation: z.number().int().min(0).max(10).optional(),
  })
  .meta({ id: 'FirstStart' });

export const firstStartedSchema = z
  .object({
    strainId: idSchema,
    roomId: idSchema,
    shelfId: idSchema,
    sizeId: idSchema,
    runId: idSchema,
    jarCodes: z.array(z.string()),
    /** The first plan, or null when it is still being made: ask `GET /api/plan` again. */
    planId: idSchema.nullable(),
  })
  .meta({ id: 'FirstStarted' });

export type Room = z.infer<typeof roomSchema>;
export type NewRoom = z.infer<typeof newRoomSchema>;
export type RoomPatch = z.infer<typeof roomPatchSchema>;
export type Shelf = z.infer<typeof shelfSchema>;
export type NewShelf = z.infer<typeof newShelfSchema>;
export type ShelfPatch = z.infer<typeof shelfPatchSchema>;
export type Species = z.infer<typeof speciesSchema>;
export type Strain = z.infer<typeof strainSchema>;
export type NewStrain = z.infer<typeof newStrainSchema>;
export type StrainPatch = z.infer<typeof strainPatchSchema>;
export type ContainerSizeJson = z.infer<typeof containerSizeSchema>;
export type NewContainerSize = z.infer<typeof newContainerSizeSchema>;
export type ContainerSizePatch = z.infer<typeof containerSizePatchSchema>;
export type FarmSettings = z.infer<typeof farmSettingsSchema>;
export type FarmSettingsPatch = z.infer<typeof farmSettingsPatchSchema>;
export type Farm = z.infer<typeof farmSchema>;
export type FirstStart = z.infer<typeof firstStartSchema>;
export type FirstStarted = z.infer<typeof firstStartedSchema>;
