import { randomUUID } from 'node:crypto';
import type { NewStrain, Strain, StrainPatch } from '@jarfold/contracts';
import { defaultCulture, findSpecies, freeStrainCode, type StrainOverrides, speciesCatalogue } from '@jarfold/domain';
import { enqueueReplan } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { strainJson } from './farm.mapper.js';
import { farmGrain } from './farm-grain.js';
import { merged, requireRevision, sameThingOrNull } from './revision.js';
import { lockFarm, readSettings } from './settings.repository.js';
import {
  countLotsOfStrain,
  findStrain,
  insertStrain,
  type StrainRow,
  strainCodesInUse,
  strainInUse,
  updateStrain,
} from './strains.repository.js';

/** The strains a farm grows. What it leaves unsaid goes by the species. */
export class StrainsService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async add(ctx: GrowerContext, wanted: NewStrain): Promise<Strain> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const id = await addStrainIn(tx, ctx, wanted);
      await enqueueReplan(tx, ctx, 'farm-changed');
      return strainIn(tx, ctx, id);
    });
  }

  async change(ctx: GrowerContext, id: string, revision: number, patch: StrainPatch): Promise<Strain> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const stored = requireRevision(await findStrain(tx, ctx.growerId, id), revision, 'strain');
      const changed = { ...merged(stored, patch), revision: revision + 1 };
      if (patch.speciesKey !== undefined) requireKnownSpecies(patch.speciesKey);
      if (changed.code !== stored.code) await requireCodeMayChange(tx, ctx, changed);
      if (changed.archived && !stored.archived) await requireUnused(tx, ctx, changed);
      await updateStrain(tx, ctx.growerId, changed, changed.archived ? this.clock.now() : null);
      await enqueueReplan(tx, ctx, 'farm-changed');
      return strainIn(tx, ctx, id);
    });
  }
}

const NOTHING_SAID: StrainOverrides = {
  inoculumGramsPerContainer: null,
  daysToRipe: null,
  lossRate: null,
  warmLifeDays: null,
  coldLifeDays: null,
  mayBeChilled: null,
  lastGeneration: null,
};

/** Adds a strain within a transaction that holds the farm's lock; sent twice under one id, it is added once. */
export async function addStrainIn(tx: GrowerTx, ctx: GrowerContext, wanted: NewStrain): Promise<string> {
  const id = wanted.id ?? randomUUID();
  const stored = await findStrain(tx, ctx.growerId, id);
  if (sameThingOrNull<StrainRow>(stored, { ...wanted, id } as Partial<StrainRow>, 'strain')) return id;
  requireKnownSpecies(wanted.speciesKey);
  const codes = await strainCodesInUse(tx, ctx.growerId);
  if (wanted.code !== undefined && codes.has(wanted.code)) throw codeTaken(wanted.code);
  const { profile } = findSpecies(wanted.speciesKey);
  const code = wanted.code ?? freeStrainCode(profile.codeHint, new Set(codes.keys()));
  const start: StrainRow = {
    ...NOTHING_SAID,
    ...{ id, code, speciesKey: wanted.speciesKey, name: profile.tradeNames[0] ?? profile.latinName },
    ...{ revision: 1, motherReserve: 1, culture: { ...defaultCulture }, archived: false },
  };
  await insertStrain(tx, ctx.growerId, merged(start, wanted as Partial<StrainRow>));
  return id;
}

async function strainIn(tx: GrowerTx, ctx: GrowerContext, id: string): Promise<Strain> {
  const row = await findStrain(tx, ctx.growerId, id);
  if (row === null) throw new AppError('not-found', 'There is no such strain on this farm.');
  return strainJson(row, farmGrain(await readSettings(tx, ctx.growerId)));
}

function requireKnownSpecies(key: string): void {
  if (findSpecies(key).kind === 'known' || key === 'other') return;
  const errors = [{ in: 'body', pointer: '/speciesKey', detail: 'Not a key of GET /api/farm/species.' }] as const;
  const known = speciesCatalogue.map((species) => species.key).join(', ');
  throw new AppError('rule-refused', `"${key}" is no species Jarfold knows: use one of ${known}, or other.`, {
    errors,
  });
}

async function requireCodeMayChange(tx: GrowerTx, ctx: GrowerContext, strain: StrainRow): Promise<void> {
  const holder = (await strainCodesInUse(tx, ctx.growerId)).get(strain.code);
  if (holder !== undefined && holder !== strain.id) throw codeTaken(strain.code);
  const lots = await countLotsOfStrain(tx, ctx.growerId, strain.id);
  if (lots === 0) return;
  throw new AppError(
    'rule-refused',
    `${lots} lots already carry this strain's code on their labels: it stays. Add another strain instead.`,
  );
}

function codeTaken(code: string): AppError {
  const errors = [{ in: 'body', pointer: '/code', detail: 'Another strain has this code.' }] as const;
  return new AppError('conflict', `Another strain already has the code ${code}: choose another.`, { errors });
}

async function requireUnused(tx: GrowerTx, ctx: GrowerContext, strain: StrainRow): Promise<void> {
  const { jars, runs } = await strainInUse(tx, ctx.growerId, strain.id);
  if (jars === 0 && runs === 0) return;
  throw new AppError(
    'rule-refused',
    `${jars} jars and ${runs} planned runs still go by "${strain.name}": use or change them before archiving it.`,
  );
}
