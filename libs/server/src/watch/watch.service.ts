import type { WatchJson } from '@jarfold/contracts';
import {
  addDays,
  ageingFlags,
  badMotherFlags,
  type CalendarDay,
  calendarDayAt,
  causeSentence,
  contaminationCauses,
  contaminationFlags,
  cycleFlags,
  type Flag,
  fewMothersFlags,
  findSpecies,
  flagChanges,
  heatMethods,
  rateOverTime,
  ripeningOfStrain,
  settledCells,
  slowLotFlags,
} from '@jarfold/domain';
import type { SpawnPlan } from '@jarfold/domain/planning';
import { listStrains, readSettings, type StrainRow } from '../farm/index.js';
import { newestFacts } from '../plan/index.js';
import { type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { listLotCells, listRipenings, readLevelNames } from '../rates/index.js';
import { listRuns } from '../runs/index.js';
import { lockFlags, saveFlags, standingFlags } from './flags.repository.js';
import { describeUnused, listEndedCycles, listLine, listUnripeLots } from './watch.repository.js';

/** A year of lots tells what is usual; the rest is about what still stands or happened lately. */
const USUAL_DAYS = 365;
const LATELY_DAYS = 120;
const CYCLES_DAYS = 14;

/** Our own starting value: minutes until the middle of the load is as hot as the gauge says. */
const COME_UP_ALLOWANCE_MIN = 0;

/** Looks over a farm and keeps what it should look at in step with what is true. */
export class WatchService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async standing(ctx: GrowerContext): Promise<WatchJson> {
    const flags = await this.growerDb.read(ctx, (tx) => standingFlags(tx, ctx.growerId));
    return {
      items: flags.map(({ cause: _cause, raisedAt, where, ...flag }) => ({
        ...flag,
        where: [...where],
        raisedAt: raisedAt.toISOString(),
      })),
    };
  }

  /** Safe to do at any time, twice, and in two processes at once. */
  async look(ctx: GrowerContext): Promise<{ raised: number; settled: number }> {
    const found = await this.growerDb.read(ctx, (tx) => this.find(tx, ctx));
    return this.growerDb.run(ctx, async (tx) => {
      await lockFlags(tx, ctx.growerId);
      const standing = await standingFlags(tx, ctx.growerId);
      const changes = flagChanges(
        standing.map(({ cause }) => cause),
        found,
      );
      await saveFlags(tx, ctx.growerId, changes, this.clock.now());
      return { raised: changes.raise.length, settled: changes.settle.length };
    });
  }

  private async find(tx: GrowerTx, ctx: GrowerContext): Promise<Flag[]> {
    const settings = await readSettings(tx, ctx.growerId);
    const asOf = calendarDayAt(this.clock.now().getTime(), settings.timeZone);
    const strains = await listStrains(tx, ctx.growerId);
    const { plan } = await newestFacts(tx, ctx);
    return [
      ...(plan === null ? [] : await planFlags(tx, ctx.growerId, plan.plan, strains, asOf)),
      ...(await logFlags(tx, ctx.growerId, strains, asOf)),
    ];
  }
}

/** What the newest plan cannot use or lacks. */
async function planFlags(
  tx: GrowerTx,
  growerId: string,
  plan: SpawnPlan,
  strains: readonly StrainRow[],
  asOf: CalendarDay,
): Promise<Flag[]> {
  const expires = new Map(plan.stranded.map(({ code, expires: day }) => [code, day]));
  const unused = await describeUnused(tx, growerId, [...expires.keys()]);
  const runs = await listRuns(tx, growerId, { from: asOf, state: 'planned' });
  const short = new Map(plan.runs.map(({ run, targetGrams, coveredGrams }) => [run, targetGrams - coveredGrams]));
  const codes = new Map(strains.map(({ id, code }) => [id, code]));
  return [
    ...ageingFlags(
      unused.map((jar) => ({ ...jar, expiresOn: expires.get(jar.code)! })),
      runs.map(({ id, name, day, strainIds }) => ({ name, day, strainIds, shortGrams: short.get(id) ?? 0 })),
      asOf,
    ),
    ...fewMothersFlags(
      plan.reserveGaps.map(({ strainId, ...gap }) => ({ ...gap, strainCode: codes.get(strainId) ?? strainId })),
      asOf,
    ),
  ];
}

/** What the log itself shows. People are never named here: everybody of the farm reads the flags. */
async function logFlags(
  tx: GrowerTx,
  growerId: string,
  strains: readonly StrainRow[],
  asOf: CalendarDay,
): Promise<Flag[]> {
  const usual = { from: addDays(asOf, -USUAL_DAYS), strainId: null };
  const lately = addDays(asOf, -LATELY_DAYS);
  const cells = settledCells(await listLotCells(tx, growerId, usual), asOf);
  const found = contaminationCauses(cells, (factor) => factor !== 'operator');
  const causes = found.kind === 'attribution' ? found.causes : [];
  const levels = (factor: string) =>
    causes.flatMap(({ members }) => members.filter((each) => each.factor === factor).map(({ level }) => level));
  const names = await readLevelNames(tx, growerId, {
    ...{ grainBatch: levels('grainBatch'), cycle: levels('cycle'), mother: levels('mother') },
  });
  for (const { id, code } of strains) names.set(id, code);
  const sentences = causes.map((cause) =>
    causeSentence(
      cause,
      ({ factor, level }) => `${factor === 'mother' ? 'mother jar ' : ''}${names.get(level) ?? level}`,
    ),
  );
  const blamed = new Map(
    causes.flatMap(({ members }, i) =>
      members.length === 1 && members[0]!.factor === 'mother'
        ? [[names.get(members[0]!.level) ?? '', sentences[i]!] as const]
        : [],
    ),
  );
  const ripenings = await listRipenings(tx, growerId, usual);
  const ripening = new Map(
    strains.map((strain) => {
      const { profile } = findSpecies(strain.speciesKey);
      const own = ripenings.filter(({ strainId }) => strainId === strain.id);
      const start = strain.daysToRipe ?? profile.spawn.daysToRipe.value;
      return [strain.id, ripeningOfStrain(own, start, profile).onThisFarm] as const;
    }),
  );
  return [
    ...contaminationFlags(rateOverTime(cells, 'week'), sentences, asOf),
    ...badMotherFlags(await listLine(tx, growerId, lately), asOf, blamed),
    ...slowLotFlags(await listUnripeLots(tx, growerId, lately), ripening),
    ...cycleFlags(await endedCycles(tx, growerId, addDays(asOf, -CYCLES_DAYS))),
  ];
}

/** Cycles of methods that can be judged; an altitude nobody gave counts as sea level. */
async function endedCycles(tx: GrowerTx, growerId: string, from: CalendarDay) {
  const rows = await listEndedCycles(tx, growerId, from);
  return rows.flatMap(({ code, endedOn, method: key, altitudeM, ...read }) => {
    const method = heatMethods.find((each) => each.key === key);
    if (method === undefined) return [];
    const record = {
      ...{ ...read, method, altitudeM: altitudeM ?? 0, declaredHoldMin: method.holdMin.value },
      ...{ trace: null, comeUpAllowanceMin: COME_UP_ALLOWANCE_MIN, interrupted: false },
    };
    return [{ code, endedOn, record }];
  });
}
