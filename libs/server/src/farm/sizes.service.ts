import { randomUUID } from 'node:crypto';
import type { ContainerSizeJson, ContainerSizePatch, NewContainerSize } from '@jarfold/contracts';
import { usualInoculumFactor } from '@jarfold/domain';
import type { BenchService } from '../bench/index.js';
import { enqueueReplan } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { sizeJson } from './farm.mapper.js';
import { farmGrain } from './farm-grain.js';
import { merged, requireRevision, sameThingOrNull } from './revision.js';
import { lockFarm, readSettings } from './settings.repository.js';
import {
  countJarsOfSize,
  countOrdersOfSize,
  findSize,
  insertSize,
  type SizeRow,
  sizeNameTaken,
  stopCounting,
  updateSize,
} from './sizes.repository.js';

/** The sizes of container a farm works with. */
export class SizesService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly bench: Pick<BenchService, 'append'>,
    private readonly clock: Clock,
  ) {}

  async add(ctx: GrowerContext, wanted: NewContainerSize): Promise<ContainerSizeJson> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const id = await addSizeIn(tx, ctx, wanted);
      const cleanEmpty = wanted.cleanEmpty ?? null;
      const added = await findSize(tx, ctx.growerId, id);
      // Sent twice, it is counted once.
      if (cleanEmpty !== null && added?.cleanEmpty === null) await this.countEmpties(tx, ctx, { ...added, cleanEmpty });
      await enqueueReplan(tx, ctx, 'farm-changed');
      return sizeIn(tx, ctx, id);
    });
  }

  async change(
    ctx: GrowerContext,
    id: string,
    revision: number,
    patch: ContainerSizePatch,
  ): Promise<ContainerSizeJson> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const stored = requireRevision(await findSize(tx, ctx.growerId, id), revision, 'container size');
      const changed = { ...merged(stored, patch), revision: revision + 1 };
      await requireFreeName(tx, ctx, changed);
      if (changed.archived && !stored.archived) await requireUnused(tx, ctx, changed);
      await updateSize(tx, ctx.growerId, changed, changed.archived ? this.clock.now() : null);
      // Only when it was said: the bench log moves this count all the time.
      if (patch.cleanEmpty !== undefined) await this.countEmpties(tx, ctx, changed);
      await enqueueReplan(tx, ctx, 'farm-changed');
      return sizeIn(tx, ctx, id);
    });
  }

  /** A count is an entry of the bench log like any other; to stop counting is not. */
  private async countEmpties(tx: GrowerTx, ctx: GrowerContext, { id: sizeId, cleanEmpty }: SizeRow): Promise<void> {
    if (cleanEmpty === null) await stopCounting(tx, ctx.growerId, sizeId);
    else await this.bench.append(tx, ctx, [{ kind: 'containers_counted', payload: { sizeId, cleanEmpty } }]);
  }
}

/** Adds a size within a transaction that holds the farm's lock; sent twice under one id, it is added once. */
export async function addSizeIn(tx: GrowerTx, ctx: GrowerContext, wanted: NewContainerSize): Promise<string> {
  const id = wanted.id ?? randomUUID();
  const stored = await findSize(tx, ctx.growerId, id);
  const { cleanEmpty: _counted, ...stated } = wanted;
  if (sameThingOrNull<SizeRow>(stored, { ...stated, id } as Partial<SizeRow>, 'container size')) return id;
  const start: SizeRow = {
    ...{ id, revision: 1, archived: false, volumeMl: wanted.volumeMl, ripeGrams: null, cleanEmpty: null },
    ...{ container: 'jar', carrier: 'grain' },
    ...{ name: `${wanted.volumeMl} ml`, vesselPlaces: 1, shelfPlaces: 1 },
    inoculumFactor: usualInoculumFactor(wanted.volumeMl),
  };
  const size = merged(start, wanted as Partial<SizeRow>);
  await requireFreeName(tx, ctx, size);
  await insertSize(tx, ctx.growerId, size);
  return id;
}

async function sizeIn(tx: GrowerTx, ctx: GrowerContext, id: string): Promise<ContainerSizeJson> {
  const row = await findSize(tx, ctx.growerId, id);
  if (row === null) throw new AppError('not-found', 'There is no such container size on this farm.');
  return sizeJson(row, farmGrain(await readSettings(tx, ctx.growerId)));
}

async function requireFreeName(tx: GrowerTx, ctx: GrowerContext, { name, id }: SizeRow): Promise<void> {
  if (!(await sizeNameTaken(tx, ctx.growerId, name, id))) return;
  const errors = [{ in: 'body', pointer: '/name', detail: 'Another size has this name.' }] as const;
  throw new AppError('conflict', `Another container size is already called "${name}": choose another name.`, {
    errors,
  });
}

async function requireUnused(tx: GrowerTx, ctx: GrowerContext, size: SizeRow): Promise<void> {
  const orders = await countOrdersOfSize(tx, ctx.growerId, size.id);
  if (orders > 0) {
    const wait = orders === 1 ? '1 order waits' : `${orders} orders wait`;
    const detail = `${wait} for jars of "${size.name}": change or cancel them before archiving the size.`;
    throw new AppError('rule-refused', detail);
  }
  const jars = await countJarsOfSize(tx, ctx.growerId, size.id);
  if (jars === 0) return;
  throw new AppError(
    'rule-refused',
    `${jars} jars of "${size.name}" are in use: empty them before archiving the size.`,
  );
}
