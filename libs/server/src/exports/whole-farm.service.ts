import { lockFarm, readSettings } from '../farm/index.js';
import type { Clock, GrowerContext, GrowerDb, GrowerTx } from '../platform/index.js';
import { Progress } from '../under-way/index.js';
import { bringFarmIn } from './bring-farm-in.js';
import { FARM_FORMAT, stateHash, type WholeFarm } from './farm-file.js';
import { countTables, readTables } from './read-farm.js';

/** A year of a large farm is some hundred thousand rows. */
export const WHOLE_FARM_LIMIT_MS = 600_000;

/** Nobody is locked in: a whole farm out as lines of JSON, and into an empty one again. */
export class WholeFarmService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /**
   * Everything of a farm, as of one moment.
   * @param onBegin told inside the transaction, before anything is read
   * @throws Stopped
   */
  async read(
    ctx: Pick<GrowerContext, 'growerId'>,
    progress = new Progress(),
    onBegin: (tx: GrowerTx) => Promise<void> = async () => {},
  ): Promise<WholeFarm> {
    const madeAt = this.clock.now().toISOString();
    const readIn = async (tx: GrowerTx): Promise<WholeFarm> => {
      await onBegin(tx);
      const { name, timeZone } = await readSettings(tx, ctx.growerId);
      // Each row is read, and then written.
      progress.expect(2 * (await countTables(tx, ctx.growerId)));
      const tables = await readTables(tx, ctx.growerId, progress);
      const farm = { name, timeZone, locale: 'en' };
      return { format: FARM_FORMAT, madeAt, farm, stateHash: stateHash(tables), tables };
    };
    return this.growerDb.read(ctx, readIn, { timeoutMs: WHOLE_FARM_LIMIT_MS });
  }

  /**
   * Puts a whole farm into an empty one: all of it, or on any error nothing.
   * @throws as {@link bringFarmIn}
   */
  async bringIn(
    ctx: Pick<GrowerContext, 'growerId'>,
    lines: Iterable<string> | AsyncIterable<string>,
    progress = new Progress(),
  ): Promise<{ readonly rows: number; readonly stateHash: string }> {
    return this.growerDb.run(
      ctx,
      async (tx) => {
        await lockFarm(tx, ctx.growerId);
        return bringFarmIn(tx, ctx.growerId, lines, progress);
      },
      { timeoutMs: WHOLE_FARM_LIMIT_MS },
    );
  }
}
