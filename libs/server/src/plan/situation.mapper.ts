import type { Shelf } from '@jarfold/contracts';
import {
  type BenchPerson,
  benchDaysFrom,
  type CalendarDay,
  canSpawnSubstrate,
  containerValues,
  daysBetween,
  isStillAhead,
  referenceRipeGrams,
  rhythmOfPeople,
  shelfPlacesOf,
  strainValues,
  survivalWhenClean,
  warmLifeFrom,
} from '@jarfold/domain';
import type { ContainerSize, FarmSituation, Room, StockContainer, StrainProfile } from '@jarfold/domain/planning';
import { farmGrain, type RoomRow, type SizeRow, type StoredSettings, type StrainRow } from '../farm/index.js';
import type { Learned } from '../rates/index.js';
import type { PlannedRun, UsableJar } from './situation.repository.js';

/** A farm's facts as they were read. */
export interface FarmFacts {
  readonly asOf: CalendarDay;
  readonly settings: StoredSettings;
  readonly strains: readonly StrainRow[];
  readonly sizes: readonly SizeRow[];
  readonly rooms: readonly RoomRow[];
  readonly shelves: readonly Shelf[];
  readonly jars: readonly UsableJar[];
  readonly runs: readonly PlannedRun[];
  /** Everybody at work. */
  readonly people: readonly BenchPerson[];
  /** What the farm's log taught of its strains. */
  readonly learned: Learned;
}

/** The planner's input from a farm's facts. Archived things stay: jars of theirs may still stand. */
export function situationFrom(facts: FarmFacts): FarmSituation {
  const { settings, asOf, people } = facts;
  const benchDays = benchDaysFrom(settings.rhythm, asOf, settings.horizonDays);
  const cultureSizeIds = new Set(facts.sizes.filter((size) => !canSpawnSubstrate(size.carrier)).map(({ id }) => id));
  return {
    asOf,
    horizonDays: settings.horizonDays,
    rhythm: rhythmOfPeople(settings.rhythm, people, benchDays),
    strains: facts.strains.map((strain) => strainProfile(strain, settings, facts.learned)),
    sizes: facts.sizes.filter((size) => isOfUse(size, facts.jars)).map((size) => containerSize(size, settings)),
    stock: facts.jars.map((jar) => ({
      ...stockContainer(jar, facts.learned),
      // A culture on agar or in liquid is never offered to a run.
      keptAsMother: jar.keptAsMother || cultureSizeIds.has(jar.sizeId),
    })),
    runs: facts.runs.filter((run) => isStillAhead(run, facts.asOf)),
    rooms: facts.rooms.filter((room) => !room.archived).map((room) => roomOf(room, facts.shelves)),
    costs: settings.costs,
  };
}

function strainProfile(strain: StrainRow, settings: StoredSettings, { strains }: Learned): StrainProfile {
  const values = strainValues(strain.speciesKey, strain, referenceRipeGrams(farmGrain(settings)));
  const learned = strains.get(strain.id)!;
  return {
    id: strain.id,
    species: strain.speciesKey,
    inoculumGramsPerContainer: values.inoculumGramsPerContainer.value,
    daysToRipe: learned.daysToRipe.value,
    lossRate: learned.lossRate.value,
    warmLifeDays: values.warmLifeDays.value,
    coldLifeDays: values.coldLifeDays.value,
    mayBeChilled: values.mayBeChilled.value,
    lastGeneration: values.lastGeneration.value,
    motherReserve: strain.archived ? 0 : strain.motherReserve,
    culture: strain.archived ? null : strain.culture,
  };
}

/** An archived size is not filled again, but its jars that still stand must be known. */
function isOfUse(size: SizeRow, jars: readonly UsableJar[]): boolean {
  return !size.archived || jars.some((jar) => jar.sizeId === size.id);
}

/** The plan starts no plates and syringes: cultures come as `culture` of a strain, and grain is not filled into them. */
function containerSize(size: SizeRow, settings: StoredSettings): ContainerSize {
  const { id, volumeMl, inoculumFactor, vesselPlaces, shelfPlaces, cleanEmpty, archived, carrier } = size;
  return {
    ...{ id, volumeMl, inoculumFactor, vesselPlaces, shelfPlaces },
    ripeGrams: containerValues(size, farmGrain(settings)).ripeGrams.value,
    cleanEmpty: archived || !canSpawnSubstrate(carrier) ? 0 : cleanEmpty,
  };
}

/** A jar taken out of the cold goes on with the warm life it had left when it went in. */
function stockContainer({ warmedOn, seenCleanOn, ...jar }: UsableJar, learned: Learned): StockContainer {
  const ripeOn = jar.ripeOn === null ? null : warmLifeFrom({ chilledOn: jar.chilledOn, warmedOn }, jar.ripeOn);
  return { ...jar, ripeOn, survival: survivalOf(jar, seenCleanOn, learned) };
}

/** A growing jar that was looked at has come through part of its danger; to a hundredth, so that plans hold still. */
function survivalOf(
  { state, ripeOn, strainId, madeOn }: Pick<UsableJar, 'state' | 'ripeOn' | 'strainId' | 'madeOn'>,
  seenCleanOn: CalendarDay | null,
  { strains, hazard }: Learned,
): number | null {
  if (state !== 'incubating' || ripeOn !== null || seenCleanOn === null || seenCleanOn < madeOn) return null;
  const { lossRate, daysToRipe } = strains.get(strainId)!;
  const survival = survivalWhenClean(lossRate.value, daysBetween(madeOn, seenCleanOn), daysToRipe.value, hazard);
  return Math.round(survival * 100) / 100;
}

function roomOf(room: RoomRow, shelves: readonly Shelf[]): Room {
  const { id, kind, temperatureC } = room;
  return { id, kind, temperatureC, places: shelfPlacesOf(room.id, shelves) };
}
