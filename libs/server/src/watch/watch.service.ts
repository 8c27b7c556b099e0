import type { FlagJson, FlagSeen, SettledFlags, SettledQuery, WatchJson } from '@jarfold/contracts';
import {
  addDays,
  ageingFlags,
  type CalendarDay,
  calendarDayAt,
  causesSince,
  contaminationCauses,
  contaminationShift,
  type EndedCycle,
  type FactorLevel,
  type Flag,
  fewMothersFlags,
  findSpecies,
  flagChanges,
  flagsOfLog,
  type LogSeen,
  type MissingMothers,
  type MothersKept,
  mothersMissingNow,
  type RateFactor,
  type RipeningDays,
  rateOverTime,
  ripeningOfStrain,
  type SeenRipening,
  settledCells,
} from '@jarfold/domain';
import type { SpawnPlan } from '@jarfold/domain/planning';
import { listStrains, readSettings, type StrainRow } from '../farm/index.js';
import { newestFacts } from '../plan/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { listLotCells, listRipenings, readLevelNames } from '../rates/index.js';
import { listRuns } from '../runs/index.js';
import { newestTraces, recordOfCycle } from '../sterilising/index.js';
import {
  causesSettledSince,
  type FlagRow,
  lockFlags,
  markFlag,
  saveFlags,
  settledFlags,
  standingFlags,
} from './flags.repository.js';
import { countRipe, describeUnused, listEndedCycles, listLine, listUnripeLots } from './watch.repository.js';

/** A year of lots tells what is usual; the rest is about what still stands or happened lately. */
const USUAL_DAYS = 365;
const LATELY_DAYS = 120;
const CYCLES_DAYS = 14;
const DAY_MS = 86_400_000;

/** A cause that comes back within so long was never gone. */
const SAME_CAUSE_MS = 14 * DAY_MS;

/** Looks over a farm and keeps what it should look at in step with what is true. */
export class WatchService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async standing(ctx: GrowerContext): Promise<WatchJson> {
    const flags = await this.growerDb.read(ctx, (tx) => standingFlags(tx, ctx.growerId));
    return { items: flags.map(flagJson) };
  }

  /** What was flagged and has gone by itself in so many days. */
  async settled(ctx: GrowerContext, { days }: SettledQuery): Promise<SettledFlags> {
    const since = new Date(this.clock.now().getTime() - days * DAY_MS);
    const flags = await this.growerDb.read(ctx, (tx) => settledFlags(tx, ctx.growerId, since));
    return {
      items: flags.map(({ settledAt, ...flag }) => ({ ...flagJson(flag), settledAt: settledAt.toISOString() })),
    };
  }

  /**
   * Marks a flag as seen, or takes the mark back. A seen flag stands until its cause is gone like any other.
   * @throws AppError `not-found` for a flag that does not stand on this farm
   */
  async see(ctx: GrowerContext, flagId: string, { seen }: FlagSeen): Promise<FlagJson> {
    const mark = seen ? { at: this.clock.now(), by: ctx.staffId } : null;
    const flag = await this.growerDb.run(ctx, (tx) => markFlag(tx, ctx.growerId, flagId, mark));
    if (flag === null) throw new AppError('not-found', 'No such flag stands on this farm: its cause may be gone.');
    return flagJson(flag);
  }

  /** Safe to do at any time, twice, and in two processes at once. */
  async look(ctx: GrowerContext): Promise<{ raised: number; settled: number }> {
    const found = await this.growerDb.read(ctx, (tx) => this.find(tx, ctx));
    return this.growerDb.run(ctx, async (tx) => {
      await lockFlags(tx, ctx.growerId);
      const now = this.clock.now();
      const standing = await standingFlags(tx, ctx.growerId);
      const changes = flagChanges(
        standing.map(({ cause }) => cause),
        found,
        await causesSettledSince(tx, ctx.growerId, new Date(now.getTime() - SAME_CAUSE_MS)),
      );
      await saveFlags(tx, ctx.growerId, changes, now);
      return { raised: changes.raise.length, settled: changes.settle.length };
    });
  }

  private async find(tx: GrowerTx, ctx: GrowerContext): Promise<Flag[]> {
    const settings = await readSettings(tx, ctx.growerId);
    const asOf = calendarDayAt(this.clock.now().getTime(), settings.timeZone);
    const strains = await listStrains(tx, ctx.growerId);
    const { plan } = await newestFacts(tx, ctx);
    const missing = mothersMissingNow(await mothersKept(tx, ctx.growerId, strains), asOf);
    return [
      ...(plan === null ? [] : await unusedFlags(tx, ctx.growerId, plan.plan, asOf)),
      ...fewMothersFlags([...missing, ...(plan === null ? [] : gapsOf(plan.plan, strains))], asOf),
      ...(await logFlags(tx, ctx.growerId, strains, asOf)),
    ];
  }
}

/** What the newest plan cannot use. */
async function unusedFlags(tx: GrowerTx, growerId: string, plan: SpawnPlan, asOf: CalendarDay): Promise<Flag[]> {
  const expires = new Map(plan.stranded.map(({ code, expires: day }) => [code, day]));
  const unused = await describeUnused(tx, growerId, [...expires.keys()]);
  const runs = await listRuns(tx, growerId, { from: asOf, state: 'planned' });
  const short = new Map(plan.runs.map(({ run, targetGrams, coveredGrams }) => [run, targetGrams - coveredGrams]));
  return ageingFlags(
    unused.map((jar) => ({ ...jar, expiresOn: expires.get(jar.code)! })),
    runs.map(({ id, name, day, strainIds }) => ({ name, day, strainIds, shortGrams: short.get(id) ?? 0 })),
    asOf,
  );
}

/** Mothers the newest plan will lack. */
function gapsOf({ reserveGaps }: SpawnPlan, strains: readonly StrainRow[]): MissingMothers[] {
  const codes = new Map(strains.map(({ id, code }) => [id, code]));
  return reserveGaps.map(({ strainId, ...gap }) => ({ ...gap, strainCode: codes.get(strainId) ?? strainId }));
}

async function mothersKept(tx: GrowerTx, growerId: string, strains: readonly StrainRow[]): Promise<MothersKept[]> {
  const ripe = await countRipe(tx, growerId);
  return strains
    .filter(({ archived, motherReserve }) => !archived && motherReserve > 0)
    .map(({ id, code, speciesKey, lastGeneration, motherReserve }) => {
      const last = lastGeneration ?? findSpecies(speciesKey).profile.spawn.lastGeneration.value;
      const mothers = ripe.filter(({ strainId, generation }) => strainId === id && generation < last);
      const onHand = mothers.reduce((sum, { jars }) => sum + jars, 0);
      return { strainCode: code, reserve: motherReserve, onHand };
    });
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
  const mayName = (factor: RateFactor) => factor !== 'operator';
  const yearFound = contaminationCauses(cells, mayName);
  const causes = yearFound.kind === 'attribution' ? yearFound.causes : [];
  const seen = contaminationShift(rateOverTime(cells, 'week'), asOf);
  const shift = seen === null ? null : { seen, found: causesSince(cells, seen.began, mayName) };
  const told = [
    ...causes.flatMap(({ members }) => members),
    ...(shift?.found.kind === 'attribution' ? shift.found.levels : []),
  ];
  const names = await namesOf(tx, growerId, told, strains);
  const log: LogSeen = {
    ...{ shift, causes, ripening: ripeningOf(await listRipenings(tx, growerId, usual), strains) },
    line: await listLine(tx, growerId, lately),
    unripeLots: await listUnripeLots(tx, growerId, lately),
    cycles: await endedCycles(tx, growerId, addDays(asOf, -CYCLES_DAYS)),
  };
  return flagsOfLog(log, ({ level }) => names.get(level) ?? level, asOf);
}

async function namesOf(
  tx: GrowerTx,
  growerId: string,
  told: readonly FactorLevel[],
  strains: readonly StrainRow[],
): Promise<ReadonlyMap<string, string>> {
  const levels = (factor: string) => told.filter((each) => each.factor === factor).map(({ level }) => level);
  const asked = { grainBatch: levels('grainBatch'), cycle: levels('cycle'), mother: levels('mother') };
  return readLevelNames(tx, growerId, asked, strains);
}

/** How long each strain takes on this farm, its last year and what is published taken together. */
function ripeningOf(
  ripenings: readonly SeenRipening[],
  strains: readonly StrainRow[],
): ReadonlyMap<string, RipeningDays> {
  return new Map(
    strains.map((strain) => {
      const { profile } = findSpecies(strain.speciesKey);
      const own = ripenings.filter(({ strainId }) => strainId === strain.id);
      const start = strain.daysToRipe ?? profile.spawn.daysToRipe.value;
      return [strain.id, ripeningOfStrain(own, start, profile).onThisFarm] as const;
    }),
  );
}

function flagJson({ cause: _cause, raisedAt, where, seen, ...flag }: FlagRow): FlagJson {
  const seenJson = seen === null ? null : { at: seen.at.toISOString(), by: seen.by };
  return { ...flag, where: [...where], raisedAt: raisedAt.toISOString(), seen: seenJson };
}

/** Cycles that can be judged, each with the trace that counts. */
async function endedCycles(tx: GrowerTx, growerId: string, from: CalendarDay): Promise<EndedCycle[]> {
  const rows = await listEndedCycles(tx, growerId, from);
  const traces = await newestTraces(
    tx,
    growerId,
    rows.map(({ id }) => id),
  );
  return rows.flatMap((row) => {
    const record = recordOfCycle(row, traces.get(row.id)?.points ?? null);
    return record === null ? [] : [{ code: row.code, endedOn: row.endedOn, record }];
  });
}
