import type {
  AgeingRates,
  ContaminationQuery,
  ContaminationRates,
  GrowthRates,
  PlanningValues,
  RatesQuery,
  YieldRates,
} from '@jarfold/contracts';
import {
  addDays,
  type CalendarDay,
  calendarDayAt,
  chilledSurvival,
  contaminationCauses,
  type LotCell,
  RATE_FACTORS,
  type RateFactor,
  rateOverTime,
  ratesByFactor,
  ripeningOfStrain,
  runOutcome,
  settledCells,
  shrunkRates,
  yieldOfStrain,
} from '@jarfold/domain';
import { listRooms, listStrains, readSettings, type StrainRow } from '../farm/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { listRestarts } from './ageing.repository.js';
import { attributionJson, factorRatesJson, type LevelName } from './contamination.mapper.js';
import { listLotCells, type RateScope, readHazard, readLevelNames } from './contamination.repository.js';
import { listRipenings } from './growth.repository.js';
import { readLearned } from './learned.js';
import { planningValuesOf } from './planning-values.js';
import { profileOf, publishedLoss } from './published-loss.js';
import { publishedStart, startOf } from './starting-value.js';
import { listBorneRuns } from './yield.repository.js';

interface Asked extends RateScope {
  readonly asOf: CalendarDay;
  /** The strains asked of, of all the farm's; archived ones too, their jars were real. */
  readonly strains: readonly StrainRow[];
}

/** The farm's own numbers, from its bench log. Reads only. */
export class RatesService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /**
   * Contamination rates. What a person's own hands made is shown to that person and to the owner.
   * @throws AppError `not-found` for a strain the farm does not have
   */
  async contamination(ctx: GrowerContext, query: ContaminationQuery): Promise<ContaminationRates> {
    return this.reading(ctx, query, async (tx, asked) => {
      const cells = await listLotCells(tx, ctx.growerId, asked);
      const hazard = await readHazard(tx, ctx.growerId, asked, asked.asOf);
      const settled = settledCells(cells, asked.asOf);
      const name = await this.levelNames(tx, ctx, settled, asked.strains);
      const mayName = (factor: RateFactor, level: string) => factor !== 'operator' || maySee(ctx, level);
      const grown = settled.filter(({ blank }) => !blank);
      const published = publishedLoss(asked.strains);
      const { hits, n, observed, shrunk } = shrunkRates([counted(grown)], published('')).rates[0]!;
      return {
        ...{ asOf: asked.asOf, from: asked.from, hits, n, observed, shrunk },
        lotsCounted: lotCount(grown),
        lotsTooYoung: lotCount(cells.filter(({ blank }) => !blank)) - lotCount(grown),
        start: publishedStart(profileOf(asked.strains[0]).spawn.lossRate),
        factors: RATE_FACTORS.map((factor) => {
          const seen = factor === 'operator' ? grown.filter(({ operatorId }) => maySee(ctx, operatorId)) : grown;
          return factorRatesJson(factor, ratesByFactor(seen, factor, published), name);
        }),
        othersKeptBack: grown.some(({ operatorId }) => !maySee(ctx, operatorId)),
        overTime: { period: query.period, ...rateOverTime(settled, query.period) },
        hazard,
        attribution: attributionJson(contaminationCauses(settled, mayName), name),
      };
    });
  }

  /** Days to ripe by strain, generation and room. */
  async growth(ctx: GrowerContext, query: RatesQuery): Promise<GrowthRates> {
    return this.reading(ctx, query, async (tx, asked) => {
      const seen = await listRipenings(tx, ctx.growerId, asked);
      const rooms = new Map((await listRooms(tx, ctx.growerId)).map((room) => [room.id, room.name]));
      const items = asked.strains.map((strain) => {
        const profile = profileOf(strain);
        const start = startOf(strain.daysToRipe, profile.spawn.daysToRipe);
        const own = seen.filter(({ strainId }) => strainId === strain.id);
        const { byGeneration, byRoom, ...ripening } = ripeningOfStrain(own, start.value, profile);
        return {
          ...{ ...strainHead(strain), start, ...ripening },
          byGeneration: [...byGeneration].map(([generation, each]) => ({ generation, ripening: each })),
          byRoom: [...byRoom].map(([roomId, each]) => ({ roomId, roomName: rooms.get(roomId)!, ripening: each })),
        };
      });
      return { asOf: asked.asOf, from: asked.from, items };
    });
  }

  /** How long chilled jars stay good, by strain. */
  async ageing(ctx: GrowerContext, query: RatesQuery): Promise<AgeingRates> {
    return this.reading(ctx, query, async (tx, asked) => {
      const restarts = await listRestarts(tx, ctx.growerId, asked);
      const items = asked.strains.map((strain) => {
        const { spawn } = profileOf(strain);
        // No day in the cold is the farm's word for never chilled; a survival starts from days that are lived.
        const ownWord = strain.coldLifeDays === 0 ? null : strain.coldLifeDays;
        const start = startOf(ownWord, spawn.coldLifeDays ?? spawn.warmLifeDays);
        const { curve, fit, lifeDays } = chilledSurvival(
          restarts.filter(({ strainId }) => strainId === strain.id),
          start.value,
        );
        return {
          ...{ ...strainHead(strain), start, curve, lifeDays, ownShare: fit.ownShare },
          mayBeChilled: strain.mayBeChilled ?? spawn.mayBeChilled,
          ...{ restarts: fit.n, died: fit.events },
        };
      });
      return { asOf: asked.asOf, from: asked.from, items };
    });
  }

  /** Biological efficiency by run, strain and flush, with the raw grams. */
  async yield(ctx: GrowerContext, query: RatesQuery): Promise<YieldRates> {
    return this.reading(ctx, query, async (tx, asked) => {
      const runs = await listBorneRuns(tx, ctx.growerId, asked);
      const byId = new Map(runs.map((run) => [run.runId, run]));
      const strains = new Map(asked.strains.map((strain) => [strain.id, strain]));
      const outcomes = runs.map((run) => runOutcome(run, profileOf(strains.get(run.strainId)), asked.asOf));
      return {
        ...{ asOf: asked.asOf, from: asked.from },
        runs: outcomes.map(({ yield: borne, ...run }) => ({
          ...{ ...run, ...strainHead(strains.get(run.strainId)!), runName: byId.get(run.runId)!.name },
          ...{ freshG: borne?.freshG ?? 0, substrateDryG: borne?.substrateDryG ?? 0 },
          ...{ efficiency: borne?.efficiency ?? null, daysToFirstHarvest: borne?.daysToFirstHarvest ?? null },
          flushes: borne?.flushes ?? [],
        })),
        strains: asked.strains.map((strain) => {
          const own = outcomes.filter(({ strainId }) => strainId === strain.id);
          const profile = profileOf(strain);
          const { efficiency, ...borne } = yieldOfStrain(own, byId, profile);
          const none = { kind: 'not enough data', n: 0, needed: 1, reason: 'no run has finished yet' } as const;
          return {
            ...{ ...strainHead(strain), ...borne },
            start: publishedStart(profile.cropping.biologicalEfficiency),
            ...{ observed: efficiency?.observed ?? none, shrunk: efficiency?.shrunk ?? none },
          };
        }),
      };
    });
  }

  /** What plans are made with now, strain by strain. */
  async planning(ctx: GrowerContext): Promise<PlanningValues> {
    return this.growerDb.read(ctx, async (tx) => {
      const settings = await readSettings(tx, ctx.growerId);
      const asOf = calendarDayAt(this.clock.now().getTime(), settings.timeZone);
      const strains = await listStrains(tx, ctx.growerId);
      const learned = await readLearned(tx, ctx.growerId, asOf, strains);
      return { asOf, items: strains.map((strain) => planningValuesOf(strain, learned.strains.get(strain.id)!)) };
    });
  }

  private reading<T>(
    ctx: GrowerContext,
    { strainId, days }: RatesQuery,
    work: (tx: GrowerTx, asked: Asked) => Promise<T>,
  ): Promise<T> {
    return this.growerDb.read(ctx, async (tx) => {
      const settings = await readSettings(tx, ctx.growerId);
      const asOf = calendarDayAt(this.clock.now().getTime(), settings.timeZone);
      const strains = (await listStrains(tx, ctx.growerId)).filter(
        ({ id }) => strainId === undefined || id === strainId,
      );
      if (strainId !== undefined && strains.length === 0)
        throw new AppError('not-found', 'There is no such strain on this farm.');
      return work(tx, { asOf, from: addDays(asOf, -days), strainId: strainId ?? null, strains });
    });
  }

  private async levelNames(
    tx: GrowerTx,
    { growerId }: GrowerContext,
    cells: readonly LotCell[],
    strains: readonly StrainRow[],
  ): Promise<LevelName> {
    const distinct = (level: (cell: LotCell) => string | null) => [
      ...new Set(cells.flatMap((cell) => level(cell) ?? [])),
    ];
    const ids = {
      grainBatch: distinct(({ grainBatchId }) => grainBatchId),
      cycle: distinct(({ cycleId }) => cycleId),
      mother: distinct(({ motherId }) => motherId),
    };
    const names = await readLevelNames(tx, growerId, ids, strains);
    return (_factor, level) => names.get(level) ?? level;
  }
}

/** A person's own rate is shown to that person and to the owner. */
function maySee({ role, staffId }: GrowerContext, operatorId: string | null): boolean {
  return role === 'owner' || staffId === operatorId;
}

const strainHead = ({ id, code, name }: StrainRow) => ({ strainId: id, strainCode: code, strainName: name });

function counted(cells: readonly LotCell[]): { key: string; hits: number; n: number } {
  return cells.reduce((sum, { contaminated, jars }) => ({ key: '', hits: sum.hits + contaminated, n: sum.n + jars }), {
    key: '',
    hits: 0,
    n: 0,
  });
}

const lotCount = (cells: readonly LotCell[]): number => new Set(cells.map(({ lotId }) => lotId)).size;
