import type { RecallJson, RecallQuery } from '@jarfold/contracts';
import { balanceByState, calendarDayAt } from '@jarfold/domain';
import { AppError, type Clock, type GrowerContext, type GrowerDb } from '../platform/index.js';
import { type FarmNames, placeOf, readFarmNames } from '../stock/index.js';
import { findRoot, listKin, type RecalledRow } from './recall.repository.js';

/** Finds everyone a jar or lot is related to: what to look at, and what it went into, when something turns out bad. */
export class RecallService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /** @throws AppError `not-found` for a jar or lot the farm does not have */
  async recall(ctx: GrowerContext, query: RecallQuery): Promise<RecallJson> {
    return this.growerDb.read(ctx, async (tx) => {
      const root = await findRoot(tx, ctx.growerId, query);
      if (root === null) throw new AppError('not-found', 'There is no such jar or lot on this farm.');
      const names = await readFarmNames(tx, ctx.growerId);
      const { jars, runs } = await listKin(tx, ctx.growerId, root);
      const concerned = jars.filter(({ relation }) => relation === 'asked' || relation === 'descendant');
      const { byState, unbalanced, ...sums } = balanceByState(concerned);
      return {
        asOf: calendarDayAt(this.clock.now().getTime(), names.settings.timeZone),
        asked: root,
        jars: jars.map((row) => recalledJson(row, names)),
        runs: [...runs],
        balance: { ...sums, unbalanced: [...unbalanced], byState: [...byState] },
      };
    });
  }
}

function recalledJson(row: RecalledRow, names: FarmNames): RecallJson['jars'][number] {
  const { jarId, code, lotId, lotCode, relation, steps, generation, madeOn, contaminatedOn } = row;
  const { strainId, state, shelfId, row: shelfRow, place, madeG, drawnG, leftG, discardedG } = row;
  // Written out, as the rows are: there may be tens of thousands.
  return {
    jarId,
    code,
    lotId,
    lotCode,
    relation,
    steps,
    strainCode: strainId === null ? null : names.strains.get(strainId)!.code,
    generation,
    state: state as RecallJson['jars'][number]['state'],
    madeOn,
    contaminatedOn,
    place: shelfId === null ? null : placeOf(names, { shelfId, row: shelfRow, place }),
    madeG,
    drawnG,
    leftG,
    discardedG,
  };
}
