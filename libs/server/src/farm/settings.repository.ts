import type { FarmSettings } from '@jarfold/contracts';
import { type CalendarDay, defaultCosts, defaultHorizonDays, defaultRhythm, type IsoWeekday } from '@jarfold/domain';
import { dayFromColumn, dayToColumn, type GrowerTx, numberFromColumn } from '../platform/index.js';

/** The farm's settings as they are stored, or the starting ones when the farm has not said any. */
export interface StoredSettings extends FarmSettings {
  /** When the first-start questions were answered; null: not yet. */
  readonly startedAt: Date | null;
  readonly stored: boolean;
}

const STARTING_GRAIN = 'rye';
const STARTING_CURRENCY = 'EUR';

export async function readSettings(tx: GrowerTx, growerId: string): Promise<StoredSettings> {
  const grower = await tx.grower.findUniqueOrThrow({ where: { id: growerId }, select: { name: true, timeZone: true } });
  const row = await tx.farmSettings.findUnique({ where: { growerId } });
  if (row === null) return { ...startingSettings(grower), startedAt: null, stored: false };
  return {
    name: grower.name,
    timeZone: grower.timeZone,
    revision: row.revision,
    currency: row.currency,
    horizonDays: row.horizonDays,
    grain: row.grain,
    targetMoisture: orNull(row.targetMoisture),
    altitudeM: orNull(row.altitudeM),
    rhythm: {
      benchWeekdays: row.benchWeekdays as IsoWeekday[],
      closedDays: row.closedDays.map(dayFromColumn),
      benchContainersPerDay: row.benchContainersPerDay,
      benchMinutesPerDay: row.benchMinutesPerDay,
      benchMinutesPerContainer: numberFromColumn(row.benchMinutesPerContainer),
      vesselPlaces: numberFromColumn(row.vesselPlaces),
      cyclesPerPreparationDay: row.cyclesPerPreparationDay,
      preparationLeadDays: row.preparationLeadDays,
      openedLifeDays: row.openedLifeDays,
      washingDays: row.washingDays,
    },
    costs: {
      perContainerStarted: orDefault(row.costPerContainerStarted, defaultCosts.perContainerStarted),
      perCycle: orDefault(row.costPerCycle, defaultCosts.perCycle),
      perGramAgedOut: orDefault(row.costPerGramAgedOut, defaultCosts.perGramAgedOut),
      perGramShort: orDefault(row.costPerGramShort, defaultCosts.perGramShort),
      perGramBelowTarget: orDefault(row.costPerGramBelowTarget, defaultCosts.perGramBelowTarget),
      perGramGeneration: orDefault(row.costPerGramGeneration, defaultCosts.perGramGeneration),
      perGramDayOld: orDefault(row.costPerGramDayOld, defaultCosts.perGramDayOld),
    },
    startedAt: row.startedAt,
    stored: true,
  };
}

/** Writes all settings; the caller has checked the revision and holds the grower's lock. */
export async function writeSettings(
  tx: GrowerTx,
  growerId: string,
  settings: Omit<StoredSettings, 'stored'>,
): Promise<void> {
  const { name, timeZone, ...rest } = settings;
  await tx.grower.update({ where: { id: growerId }, data: { name, timeZone } });
  const columns = settingsColumns(rest);
  await tx.farmSettings.upsert({ where: { growerId }, create: { growerId, ...columns }, update: columns });
}

/** Makes other changes of this grower's settings, lists and runs wait until this transaction ends. */
export async function lockFarm(tx: GrowerTx, growerId: string): Promise<void> {
  await tx.$queryRaw`SELECT pg_advisory_xact_lock(hashtextextended('farm:' || ${growerId}, 0))::text AS locked`;
}

function settingsColumns(settings: Omit<StoredSettings, 'stored' | 'name' | 'timeZone'>) {
  const { rhythm, costs } = settings;
  return {
    revision: settings.revision,
    currency: settings.currency,
    horizonDays: settings.horizonDays,
    grain: settings.grain,
    targetMoisture: settings.targetMoisture,
    altitudeM: settings.altitudeM,
    startedAt: settings.startedAt,
    ...rhythm,
    benchWeekdays: [...rhythm.benchWeekdays],
    closedDays: rhythm.closedDays.map((day: CalendarDay) => dayToColumn(day)),
    costPerContainerStarted: costs.perContainerStarted,
    costPerCycle: costs.perCycle,
    costPerGramAgedOut: costs.perGramAgedOut,
    costPerGramShort: costs.perGramShort,
    costPerGramBelowTarget: costs.perGramBelowTarget,
    costPerGramGeneration: costs.perGramGeneration,
    costPerGramDayOld: costs.perGramDayOld,
  };
}

function startingSettings(grower: { readonly name: string; readonly timeZone: string }): FarmSettings {
  return {
    name: grower.name,
    timeZone: grower.timeZone,
    revision: 1,
    currency: STARTING_CURRENCY,
    horizonDays: defaultHorizonDays,
    grain: STARTING_GRAIN,
    targetMoisture: null,
    altitudeM: null,
    rhythm: { ...defaultRhythm, benchWeekdays: [...defaultRhythm.benchWeekdays], closedDays: [] },
    costs: { ...defaultCosts },
  };
}

type NumericColumn = Parameters<typeof numberFromColumn>[0];

function orNull(column: NumericColumn | null): number | null {
  return column === null ? null : numberFromColumn(column);
}

function orDefault(column: NumericColumn | null, otherwise: number): number {
  return column === null ? otherwise : numberFromColumn(column);
}
