import type { IsoWeekday } from '@jarfold/domain';

/**
 * The two invented farms: what they own and how they work. Every name and figure here is made up for looking at the
 * product; nothing describes a real farm or person.
 */
export interface DemoStrain {
  readonly shortCode: string;
  readonly name: string;
  readonly speciesKey: string;
  /** Grams of spawn from a mother jar for one new jar. */
  readonly inoculumG: number;
  readonly daysToRipe: number;
  readonly lossRate: number;
  /** Whether the farm has said how long it takes and what it loses, instead of learning both from its log. */
  readonly saysItself: boolean;
  readonly warmLifeDays: number;
  readonly coldLifeDays: number;
  readonly mayBeChilled: boolean;
  /** ISO weekdays of its weekly bulk runs, and the wet substrate of one. */
  readonly runWeekdays: readonly IsoWeekday[];
  readonly substrateKg: number;
}

/**
 * What happened lately that is worth a look, in days before today: each raises one flag, so that a visitor sees what the
 * watch tells. Null: it did not happen.
 */
export interface DemoMishaps {
  /** A steriliser cycle that was let off too soon. */
  readonly shortHold: { readonly daysAgo: number; readonly holdMin: number } | null;
  /** A mother whose jars went bad; the strain's first lot inoculated since then. */
  readonly badMother: { readonly strain: string; readonly daysAgo: number } | null;
  /** A lot that does not get on. */
  readonly slowLot: { readonly strain: string; readonly daysAgo: number } | null;
  /** Chilled jars at the back of the cold store, while the strain's runs pause for some days to come. */
  readonly forgotten: { readonly strain: string; readonly daysAgo: number; readonly pauseDays: number } | null;
}

export interface DemoShelf {
  readonly name: string;
  readonly rows: number;
  readonly placesPerRow: number;
}

export interface DemoRoom {
  readonly name: string;
  readonly kind: 'incubation' | 'cold' | 'fruiting' | 'prep';
  readonly temperatureC: number;
  readonly shelves: readonly DemoShelf[];
}

export interface DemoFarm {
  readonly farmName: string;
  readonly timeZone: string;
  readonly email: string;
  readonly staff: readonly { readonly name: string; readonly role: 'owner' | 'lead' | 'hand' }[];
  readonly seed: number;
  readonly historyDays: number;
  readonly aheadDays: number;
  readonly benchWeekdays: readonly IsoWeekday[];
  readonly jarsPerBenchDay: number;
  readonly vesselPlaces: number;
  readonly cyclesPerPreparationDay: number;
  readonly jarMl: number;
  readonly jarRipeG: number;
  readonly cleanJars: number;
  readonly spawnRate: number;
  readonly method: 'pressure' | 'boiling_water_steam';
  readonly strains: readonly DemoStrain[];
  /** Days an opened jar is still used. */
  readonly openedLifeDays: number;
  readonly mishaps: DemoMishaps;
  readonly rooms: readonly DemoRoom[];
}

const shelf = (name: string, rows: number, placesPerRow: number): DemoShelf => ({ name, rows, placesPerRow });

export const demoFarm: DemoFarm = {
  farmName: 'Demo farm (invented)',
  timeZone: 'Europe/Berlin',
  email: 'owner@demo.example',
  staff: [
    { name: 'Owner of the demo', role: 'owner' },
    { name: 'Lead of the demo', role: 'lead' },
    { name: 'First hand', role: 'hand' },
    { name: 'Second hand', role: 'hand' },
  ],
  seed: 48,
  historyDays: 364,
  aheadDays: 84,
  benchWeekdays: [2, 5],
  jarsPerBenchDay: 88,
  vesselPlaces: 32,
  cyclesPerPreparationDay: 3,
  jarMl: 1000,
  jarRipeG: 650,
  cleanJars: 290,
  spawnRate: 0.05,
  method: 'pressure',
  openedLifeDays: 4,
  mishaps: {
    shortHold: { daysAgo: 9, holdMin: 55 },
    badMother: { strain: 'OY3', daysAgo: 26 },
    slowLot: { strain: 'LM4', daysAgo: 38 },
    forgotten: { strain: 'KO7', daysAgo: 46, pauseDays: 12 },
  },
  strains: [
    {
      shortCode: 'OY3',
      name: 'Grey oyster',
      speciesKey: 'pleurotus-ostreatus',
      inoculumG: 40,
      daysToRipe: 14,
      lossRate: 0.09,
      saysItself: false,
      warmLifeDays: 14,
      coldLifeDays: 56,
      mayBeChilled: true,
      runWeekdays: [2, 4],
      substrateKg: 205,
    },
    {
      shortCode: 'PK2',
      name: 'Pink oyster',
      speciesKey: 'pleurotus-djamor',
      inoculumG: 40,
      daysToRipe: 12,
      lossRate: 0.12,
      saysItself: false,
      warmLifeDays: 14,
      coldLifeDays: 0,
      mayBeChilled: false,
      runWeekdays: [3],
      substrateKg: 130,
    },
    {
      shortCode: 'KO7',
      name: 'King oyster',
      speciesKey: 'pleurotus-eryngii',
      inoculumG: 45,
      daysToRipe: 16,
      lossRate: 0.1,
      saysItself: false,
      warmLifeDays: 14,
      coldLifeDays: 56,
      mayBeChilled: true,
      runWeekdays: [5],
      substrateKg: 180,
    },
    {
      shortCode: 'LM4',
      name: 'Lion’s mane',
      speciesKey: 'hericium-erinaceus',
      inoculumG: 50,
      daysToRipe: 18,
      lossRate: 0.13,
      saysItself: true,
      warmLifeDays: 12,
      coldLifeDays: 42,
      mayBeChilled: true,
      runWeekdays: [1],
      substrateKg: 130,
    },
  ],
  rooms: [
    {
      name: 'Warm room A',
      kind: 'incubation',
      temperatureC: 24,
      shelves: [shelf('A1', 4, 12), shelf('A2', 4, 12), shelf('A3', 4, 12)],
    },
    {
      name: 'Warm room B',
      kind: 'incubation',
      temperatureC: 22,
      shelves: [shelf('B1', 4, 12), shelf('B2', 4, 12), shelf('B3', 4, 12)],
    },
    {
      name: 'Cold store',
      kind: 'cold',
      temperatureC: 3,
      shelves: [shelf('C1', 5, 12), shelf('C2', 5, 12), shelf('C3', 5, 12)],
    },
  ],
};

export const demoKitchen: DemoFarm = {
  farmName: 'Demo kitchen (invented)',
  timeZone: 'Europe/Berlin',
  email: 'kitchen@demo.example',
  staff: [{ name: 'Cook of the demo', role: 'owner' }],
  seed: 12,
  historyDays: 84,
  aheadDays: 56,
  benchWeekdays: [6],
  jarsPerBenchDay: 8,
  vesselPlaces: 8,
  cyclesPerPreparationDay: 1,
  jarMl: 500,
  jarRipeG: 320,
  cleanJars: 14,
  spawnRate: 0.08,
  method: 'boiling_water_steam',
  openedLifeDays: 7,
  mishaps: { shortHold: null, badMother: null, slowLot: null, forgotten: null },
  strains: [
    {
      shortCode: 'OY1',
      name: 'Kitchen oyster',
      speciesKey: 'pleurotus-ostreatus',
      inoculumG: 20,
      daysToRipe: 14,
      lossRate: 0.12,
      saysItself: false,
      warmLifeDays: 14,
      coldLifeDays: 56,
      mayBeChilled: true,
      runWeekdays: [7],
      substrateKg: 8,
    },
  ],
  rooms: [
    { name: 'Kitchen cupboard', kind: 'incubation', temperatureC: 21, shelves: [shelf('Top', 2, 8)] },
    { name: 'Fridge door', kind: 'cold', temperatureC: 5, shelves: [shelf('Door', 1, 8)] },
  ],
};
