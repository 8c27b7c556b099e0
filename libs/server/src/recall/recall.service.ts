import type { RecallJson, RecallQuery } from '@jarfold/contracts';
import { calendarDayAt, jarBalance, lineageOf, type Recall, recall } from '@jarfold/domain';
import { AppError, type Clock, type GrowerContext, type GrowerDb } from '../platform/index.js';
import { type FarmNames, placeOf, readFarmNames } from '../stock/index.js';
import { describeJars, findRoot, jarsOfRoot, listKin, type RecalledRow, runsOf } from './recall.repository.js';

type Recalled = RecallJson['jars'][number];
type Relation = Pick<Recalled, 'relation' | 'steps'>;

/** Finds everyone a jar or lot is related to: what to look at, and what it went into, when something turns out bad. */
export class RecallService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /** @throws AppError `not-found` for a jar or lot the farm does not have */
  async recall(ctx: GrowerContext, query: RecallQuery): Promise<RecallJson> {
    return this.growerDb.read(ctx, async (tx) => {
      const root = await findRoot(tx, ctx.growerId, withoutUndefined(query));
      if (root === null) throw new AppError('not-found', 'There is no such jar or lot on this farm.');
      const names = await readFarmNames(tx, ctx.growerId);
      const asked = await jarsOfRoot(tx, ctx.growerId, root);
      const kin = await listKin(tx, ctx.growerId, asked);
      const found = recall(lineageOf(kin.map(({ id, mothers }) => ({ code: id, mothers }))), asked);
      const relations = relationsOf(found);
      const rows = await describeJars(tx, ctx.growerId, [...relations.keys()]);
      const concerned = [...asked, ...found.descendants.map(({ code }) => code)];
      return {
        asOf: calendarDayAt(this.clock.now().getTime(), names.settings.timeZone),
        asked: root,
        jars: inOrder(rows, relations).map((row) => recalledJson(row, relations.get(row.jarId)!, names)),
        runs: await runsOf(tx, ctx.growerId, concerned),
        balance: balanceOf(rows, new Set(concerned)),
      };
    });
  }
}

function withoutUndefined({ jarId, lotId, code }: RecallQuery) {
  return {
    ...(jarId === undefined ? {} : { jarId }),
    ...(lotId === undefined ? {} : { lotId }),
    ...(code === undefined ? {} : { code }),
  };
}

/** In the order they are told: asked for, up, down, beside. */
function relationsOf({ asked, ancestors, descendants, siblings }: Recall): ReadonlyMap<string, Relation> {
  const told: [string, Relation][] = [
    ...asked.map((id): [string, Relation] => [id, { relation: 'asked', steps: 0 }]),
    ...ancestors.map(({ code, steps }): [string, Relation] => [code, { relation: 'ancestor', steps }]),
    ...descendants.map(({ code, steps }): [string, Relation] => [code, { relation: 'descendant', steps }]),
  ];
  const relations = new Map(told);
  for (const id of siblings) if (!relations.has(id)) relations.set(id, { relation: 'sister', steps: null });
  return relations;
}

const RANK: Readonly<Record<Relation['relation'], number>> = { asked: 0, ancestor: 1, descendant: 2, sister: 3 };

function inOrder(rows: readonly RecalledRow[], relations: ReadonlyMap<string, Relation>): RecalledRow[] {
  const place = ({ jarId }: RecalledRow) => relations.get(jarId)!;
  return [...rows].sort(
    (one, other) =>
      RANK[place(one).relation] - RANK[place(other).relation] ||
      (place(one).steps ?? 0) - (place(other).steps ?? 0) ||
      (one.code < other.code ? -1 : 1),
  );
}

function recalledJson(row: RecalledRow, relation: Relation, names: FarmNames): Recalled {
  const { shelfId, row: shelfRow, place, strainId, state, ...shown } = row;
  return {
    ...{ ...shown, ...relation },
    state: state as Recalled['state'],
    strainCode: strainId === null ? null : names.strains.get(strainId)!.code,
    place: placeOf(names, { shelfId, row: shelfRow, place }),
  };
}

function balanceOf(rows: readonly RecalledRow[], concerned: ReadonlySet<string>): RecallJson['balance'] {
  const own = rows.filter(({ jarId }) => concerned.has(jarId));
  const { byFate: _byFate, unbalanced, ...sums } = jarBalance(own.map((row) => ({ ...row, fate: fateOf(row) })));
  const byState = new Map<string, number>();
  for (const { state } of own) byState.set(state, (byState.get(state) ?? 0) + 1);
  return { ...sums, unbalanced, byState: [...byState].map(([state, jars]) => ({ state, jars })) };
}

function fateOf({ state }: RecalledRow) {
  if (state === 'emptied') return 'used' as const;
  if (state === 'discarded' || state === 'broken') return 'discarded' as const;
  return state as 'incubating' | 'ripe' | 'chilled' | 'opened';
}
