import { basename } from 'node:path';
import type { FarmSituation } from '@jarfold/domain/planning';
import {
  calibration,
  type FarmTraits,
  familyFarm,
  farmFamily,
  jarfoldPolicy,
  liveSeason,
  type Policy,
  type RuleName,
  ruleNames,
  rulePolicy,
  type Season,
  type SeasonFarm,
  seasonOfSituation,
  tunedRule,
} from '@jarfold/domain/planning';
import { parseOptions, UsageError } from './parse-options.js';

export interface SeasonCommand {
  /** A farm workbook; null: the generated family. */
  readonly file: string | null;
  /** Farms of the family by name; empty: all. */
  readonly names: readonly string[];
  readonly seeds: readonly number[];
  readonly policy: 'jarfold' | RuleName;
  readonly weeks: number;
  readonly json: boolean;
}

const POLICIES = ['jarfold', ...ruleNames] as const;
/** Seasons that rules of thumb are tuned on; those asked for must not be among them. */
const TUNING_SEEDS = [1001, 1002, 1003];
const MOST_SEEDS = 200;

export const seasonHelp = `Lives seasons of a farm by chance, to see how a way of planning does.

  npm run -s season -- --farm FILE.xlsx [--seeds A..B] [--policy NAME] [--weeks N] [--json]
  npm run -s season -- [--family NAME,NAME] [--seeds A..B] [--policy NAME] [--weeks N] [--json]

  --farm FILE      a farm workbook, as npm run plan reads it
  --family NAMES   farms of the generated family, all of them when left out:
                   ${inLines(farmFamily.map(({ name }) => name))}
  --seeds A..B     which seasons, at most ${MOST_SEEDS}; 1..1 when left out
  --policy NAME    ${POLICIES.join(', ')}
  --weeks N        weeks a season lasts, 52 when left out
  --json           print the report as JSON

Exit code 0: lived. 2: the command or the workbook has errors, each told with what to do.
`;

function inLines(names: readonly string[]): string {
  const lines: string[] = [];
  for (let at = 0; at < names.length; at += 4) lines.push(names.slice(at, at + 4).join(', '));
  return lines.join(',\n                   ');
}

/** @throws UsageError */
export function readSeasonCommand(args: readonly string[]): SeasonCommand | 'help' {
  const options = {
    farm: { type: 'string' },
    family: { type: 'string' },
    seeds: { type: 'string', default: '1..1' },
    policy: { type: 'string', default: 'jarfold' },
    weeks: { type: 'string', default: '52' },
    json: { type: 'boolean', default: false },
    help: { type: 'boolean', short: 'h' },
  } as const;
  const { values, positionals } = parseOptions(args, options);
  if (values.help) return 'help';
  if (positionals[0] !== undefined) throw new UsageError(`"${positionals[0]}" has no meaning here.`);
  const policy = POLICIES.find((name) => name === values.policy);
  if (policy === undefined) throw new UsageError(`--policy: "${values.policy}" is none of ${POLICIES.join(', ')}.`);
  const names = values.family === undefined || values.family === 'all' ? [] : values.family.split(',');
  const unknown = names.find((name) => !farmFamily.some((traits) => traits.name === name));
  if (unknown !== undefined)
    throw new UsageError(`--family: "${unknown}" is none of ${farmFamily.map(({ name }) => name).join(', ')}.`);
  if (values.farm !== undefined && values.family !== undefined)
    throw new UsageError('Name a workbook with --farm or farms of the family with --family, not both.');
  return {
    file: values.farm ?? null,
    ...{ names, policy },
    seeds: readSeeds(values.seeds),
    weeks: wholeFrom('--weeks', values.weeks, 1, 520),
    json: values.json,
  };
}

function readSeeds(text: string): number[] {
  const [from, to = from] = text.split('..');
  const first = wholeFrom('--seeds', from ?? '', 0, 1_000_000);
  const last = wholeFrom('--seeds', to ?? '', first, first + MOST_SEEDS - 1);
  const seeds = Array.from({ length: last - first + 1 }, (_, place) => first + place);
  const tuning = seeds.find((seed) => TUNING_SEEDS.includes(seed));
  if (tuning !== undefined)
    throw new UsageError(`--seeds: rules of thumb are tuned on season ${tuning}, so it cannot be judged by it.`);
  return seeds;
}

function wholeFrom(option: string, text: string, least: number, most: number): number {
  const number = Number(text);
  if (/^\d+$/.test(text) && number >= least && number <= most) return number;
  throw new UsageError(`${option}: "${text}" is not a whole number from ${least} to ${most}.`);
}

export interface SeasonReport {
  readonly policy: string;
  readonly weeks: number;
  readonly seasons: readonly (Omit<Season, 'statements'> & { readonly setting: object | null })[];
  readonly calibration: {
    readonly within7Days: ReturnType<typeof calibration>;
    readonly days8To20: ReturnType<typeof calibration>;
  };
}

/** Lives the seasons asked for, one after the other. */
export async function liveSeasons(command: SeasonCommand, situation: FarmSituation | null): Promise<SeasonReport> {
  const lived: Season[] = [];
  const settings: (object | null)[] = [];
  for (const farmAt of farmsOf(command, situation)) {
    const { policy, setting } = await policyOf(command.policy, farmAt);
    for (const seed of command.seeds) {
      lived.push(await liveSeason(farmAt(seed), seed, policy(farmAt(seed))));
      settings.push(setting);
    }
  }
  return {
    policy: command.policy,
    weeks: command.weeks,
    seasons: lived.map(({ statements: _statements, ...season }, place) => ({ ...season, setting: settings[place]! })),
    calibration: { within7Days: calibration(lived, [0, 7]), days8To20: calibration(lived, [8, 20]) },
  };
}

type FarmAt = (seed: number) => SeasonFarm;

function farmsOf({ file, names, weeks }: SeasonCommand, situation: FarmSituation | null): FarmAt[] {
  if (file !== null && situation !== null) {
    const farm = seasonOfSituation(basename(file), situation, weeks);
    return [() => farm];
  }
  const chosen: readonly FarmTraits[] =
    names.length === 0 ? farmFamily : farmFamily.filter(({ name }) => names.includes(name));
  return chosen.map((traits) => (seed) => familyFarm(traits, seed, weeks));
}

async function policyOf(
  name: SeasonCommand['policy'],
  farmAt: FarmAt,
): Promise<{ readonly policy: (farm: SeasonFarm) => Policy; readonly setting: object | null }> {
  if (name === 'jarfold') return { policy: (farm) => jarfoldPolicy(farm.believed), setting: null };
  const setting = await tunedRule(
    name,
    TUNING_SEEDS.map((seed) => ({ farm: farmAt(seed), seed })),
  );
  return { policy: () => rulePolicy(name, setting), setting };
}

/** One line a season, for people. */
export function seasonText({ policy, seasons }: SeasonReport): string {
  const lines = seasons.map(({ farm, seed, runs, coveredOnTheDay, totals, cost }) =>
    [
      farm.padEnd(18),
      `seed ${String(seed).padStart(4)}`,
      `${coveredOnTheDay} of ${runs} runs covered on the day`,
      `${totals.started} jars started`,
      `${totals.contaminated} contaminated`,
      `${totals.agedOut + totals.neverUsed} aged out or never used`,
      `cost ${cost.toFixed(2)}`,
    ].join('  '),
  );
  return `${policy}\n${lines.join('\n')}\n`;
}
