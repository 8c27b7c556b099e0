import { type ObservedBlank, type ObservedLot, type SeededRandom, seededRandom } from '@jarfold/domain';

/** A farm-year drawn from a seed, with one level made worse, for measuring what attribution finds. */
export interface FarmYear {
  readonly lots: readonly ObservedLot[];
  readonly blanks: readonly ObservedBlank[];
  /** Odds ratio of each cycle's own good or bad day. */
  readonly cycleOdds: ReadonlyMap<string, number>;
}

export interface Planted {
  readonly factor: string;
  readonly level: string;
  readonly oddsRatio: number;
}

export interface FarmSettings {
  readonly lots: number;
  readonly jarsPerLot: number;
  readonly baseRate: number;
  /** Correlation between two jars of a lot. */
  readonly lotCorrelation: number;
  readonly planted: Planted | null;
  /** Standard deviation of a shock on the log-odds that all lots of a steriliser cycle share; 0 for none. */
  readonly cycleShock: number;
  /** The operator who works always and only in the second room, so that hand and room cannot be told apart. */
  readonly tieOperatorToRoom: boolean;
  /** Share of lots of a rare strain of its own (`S-rare`); 0 for none. */
  readonly rareShare: number;
}

export const usualFarm: FarmSettings = {
  lots: 400,
  jarsPerLot: 8,
  baseRate: 0.1,
  lotCorrelation: 0.05,
  planted: null,
  cycleShock: 0,
  tieOperatorToRoom: false,
  rareShare: 0,
};

/** Levels that hold at least a fifth of the lots of {@link simulatedFarmYear}. */
export const commonLevels: readonly Omit<Planted, 'oddsRatio'>[] = [
  { factor: 'strain', level: 'S1' },
  { factor: 'strain', level: 'S2' },
  { factor: 'strain', level: 'S3' },
  { factor: 'operator', level: 'O1' },
  { factor: 'operator', level: 'O2' },
  { factor: 'operator', level: 'O3' },
  { factor: 'room', level: 'R1' },
  { factor: 'room', level: 'R2' },
  { factor: 'method', level: 'M1' },
  { factor: 'method', level: 'M2' },
];

const pick = (random: SeededRandom, levels: readonly (readonly [string, number])[]): string => {
  let u = random.uniform() * levels.reduce((sum, [, share]) => sum + share, 0);
  for (const [level, share] of levels) {
    u -= share;
    if (u <= 0) return level;
  }
  return levels.at(-1)![0];
};

/**
 * Lots in order of time: a cycle sterilises three or four lots by one method, a grain batch lasts about 16 lots, a bench
 * day of four lots is mostly one operator's, a mother serves five lots of its strain; one blank jar in every cycle.
 */
export function simulatedFarmYear(seed: number, settings: FarmSettings = usualFarm): FarmYear {
  const random = seededRandom(seed);
  const lots: ObservedLot[] = [];
  const blanks: ObservedBlank[] = [];
  const cycleOdds = new Map<string, number>();
  const mothers = new Map<string, { name: string; left: number }>();
  let [cycle, cycleLeft, method, shock, dayOperator, motherCount] = [0, 0, 'M1', 0, 'O1', 0];
  for (let i = 0; i < settings.lots; i++) {
    const batch = `G${1 + Math.floor(i / 16)}`;
    if (cycleLeft === 0) {
      cycle++;
      cycleLeft = 3 + random.whole(2);
      method = pick(random, [
        ['M1', 0.7],
        ['M2', 0.3],
      ]);
      shock = settings.cycleShock * random.normal();
      cycleOdds.set(`C${cycle}`, Math.exp(shock));
      const touched = { grain: batch, cycle: `C${cycle}`, method };
      blanks.push({
        contaminated: Number(random.uniform() < rateOf(settings, touched, shock)),
        jars: 1,
        factors: touched,
      });
    }
    cycleLeft--;
    if (i % 4 === 0)
      dayOperator = pick(random, [
        ['O1', 0.42],
        ['O2', 0.34],
        ['O3', 0.24],
      ]);
    const operator =
      random.uniform() < 0.85
        ? dayOperator
        : pick(random, [
            ['O1', 1],
            ['O2', 1],
            ['O3', 1],
          ]);
    const room = settings.tieOperatorToRoom
      ? operator === 'O3'
        ? 'R2'
        : 'R1'
      : pick(random, [
          ['R1', 0.65],
          ['R2', 0.35],
        ]);
    const rare = random.uniform() < settings.rareShare;
    const strain = rare
      ? 'S-rare'
      : pick(random, [
          ['S1', 0.38],
          ['S2', 0.28],
          ['S3', 0.22],
          ['S4', 0.12],
        ]);
    let mother = mothers.get(strain);
    if (!mother || mother.left === 0) {
      mother = { name: `mother-${++motherCount}`, left: 5 };
      mothers.set(strain, mother);
    }
    mother.left--;
    const factors = { strain, mother: mother.name, grain: batch, cycle: `C${cycle}`, operator, room, method };
    const mean = rateOf(settings, factors, shock);
    const total = 1 / settings.lotCorrelation - 1;
    const rate = random.beta(mean * total, (1 - mean) * total);
    lots.push({
      id: `lot-${i}`,
      jars: settings.jarsPerLot,
      contaminated: random.binomial(settings.jarsPerLot, rate),
      factors,
    });
  }
  return { lots, blanks, cycleOdds };
}

function rateOf({ baseRate, planted }: FarmSettings, factors: Readonly<Record<string, string>>, shock: number): number {
  const touched = planted !== null && factors[planted.factor] === planted.level;
  const logOdds = Math.log(baseRate / (1 - baseRate)) + (touched ? Math.log(planted.oddsRatio) : 0) + shock;
  return 1 / (1 + Math.exp(-logOdds));
}
