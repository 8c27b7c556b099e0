import type { BulkRunJson, Run, RunQuery } from '@jarfold/contracts';
import { type CalendarDay, orderDemand } from '@jarfold/domain';
import { sizeHoldings } from '../farm/index.js';
import { jarsHandedOver } from '../plan/index.js';
import {
  dayFromColumn,
  dayToColumn,
  type GrowerTx,
  numberFromColumn,
  numberFromColumnOrNull,
} from '../platform/index.js';

interface AnyRun {
  readonly id: string;
  readonly revision: number;
  readonly name: string;
  readonly day: CalendarDay;
  readonly strainIds: readonly string[];
  readonly minShare: number;
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly maxGrams: number;
  readonly priority: number;
  readonly slackDays: number;
  readonly note: string | null;
  readonly state: Run['state'];
  readonly doneOn: CalendarDay | null;
  readonly cancelled: { readonly at: Date; readonly byStaffId: string | null; readonly reason: string | null } | null;
}

/** Substrate to be spawned, as it is stored. */
export interface BulkRunRow extends AnyRun {
  readonly kind: 'bulk';
  readonly substrateWetG: number;
  readonly substrateMoisture: number | null;
  readonly spawnRate: number;
  readonly basis: BulkRunJson['basis'];
  readonly maxShare: number;
}

/** Whole jars that leave the farm. Its grams are not stored: they follow from its size as it is now. */
export interface OrderRow extends AnyRun {
  readonly kind: 'order';
  readonly jars: number;
  readonly sizeId: string;
  readonly sizeName: string;
  readonly ripeGrams: number;
  readonly handedOver: number;
  readonly forWhom: string | null;
}

export type RunRow = BulkRunRow | OrderRow;

export const isBulkRun = (run: RunRow): run is BulkRunRow => run.kind === 'bulk';

export async function listRuns(tx: GrowerTx, growerId: string, { from, to, state }: RunQuery): Promise<RunRow[]> {
  const day = {
    ...(from === undefined ? {} : { gte: dayToColumn(from) }),
    ...(to === undefined ? {} : { lte: dayToColumn(to) }),
  };
  const rows = await tx.bulkRun.findMany({
    where: { growerId, day, ...(state === 'all' ? {} : { state }) },
    include: WITH_STRAINS,
    orderBy: [{ day: 'asc' }, { name: 'asc' }, { id: 'asc' }],
  });
  return runsFromColumns(tx, growerId, rows);
}

export async function findRun(tx: GrowerTx, growerId: string, id: string): Promise<RunRow | null> {
  return (await findRuns(tx, growerId, [id]))[0] ?? null;
}

export async function findRuns(tx: GrowerTx, growerId: string, ids: readonly string[]): Promise<RunRow[]> {
  const rows = await tx.bulkRun.findMany({ where: { growerId, id: { in: [...ids] } }, include: WITH_STRAINS });
  return rows.length === 0 ? [] : runsFromColumns(tx, growerId, rows);
}

/** What of a run is stored: not what follows from an order's size and the bench log. */
export type StoredRun =
  | BulkRunRow
  | Omit<OrderRow, 'sizeName' | 'ripeGrams' | 'handedOver' | `${'min' | 'target' | 'max'}Grams`>;

/** In two statements, whatever their number: a farm's file may bring a year of runs. */
export async function insertRuns(
  tx: GrowerTx,
  growerId: string,
  runs: readonly StoredRun[],
  createdBy: string | null,
): Promise<void> {
  const rows = runs.map((run) => ({ id: run.id, createdBy, ...runColumns(run) }));
  await tx.$executeRaw`
    INSERT INTO bulk_run (grower_id, id, created_by, kind, revision, name, day, state, min_share, max_share, priority,
      slack_days, note, done_on, cancelled_at, cancelled_by, cancel_reason, basis, substrate_wet_g, substrate_moisture,
      spawn_rate, min_g, target_g, max_g, jars, size_id, for_whom)
    SELECT ${growerId}::uuid, r.id, r."createdBy", r.kind, r.revision, r.name, r.day, r.state, r."minShare", r."maxShare",
      r.priority, r."slackDays", r.note, r."doneOn", r."cancelledAt", r."cancelledBy", r."cancelReason", r.basis,
      r."substrateWetG", r."substrateMoisture", r."spawnRate", r."minG", r."targetG", r."maxG", r.jars, r."sizeId",
      coalesce(r."forWhom", '')
    FROM jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) AS r (
      id uuid, "createdBy" uuid, kind text, revision int, name text, day date, state text, "minShare" numeric,
      "maxShare" numeric, priority smallint, "slackDays" smallint, note text, "doneOn" date, "cancelledAt" timestamptz,
      "cancelledBy" uuid, "cancelReason" text, basis text, "substrateWetG" numeric, "substrateMoisture" numeric,
      "spawnRate" numeric, "minG" numeric, "targetG" numeric, "maxG" numeric, jars int, "sizeId" uuid, "forWhom" text)`;
  await writeStrains(tx, growerId, runs);
}

export async function updateRun(tx: GrowerTx, growerId: string, run: StoredRun): Promise<void> {
  await tx.bulkRun.update({ where: { growerId_id: { growerId, id: run.id } }, data: runColumns(run) });
  await tx.bulkRunStrain.deleteMany({ where: { growerId, runId: run.id } });
  await writeStrains(tx, growerId, [run]);
}

async function writeStrains(tx: GrowerTx, growerId: string, runs: readonly StoredRun[]): Promise<void> {
  const data = runs.flatMap(({ id, strainIds }) =>
    strainIds.map((strainId, index) => ({ growerId, runId: id, rank: index + 1, strainId })),
  );
  await tx.bulkRunStrain.createMany({ data });
}

const WITH_STRAINS = { strains: { orderBy: { rank: 'asc' } } } as const;

function runColumns(run: StoredRun) {
  return {
    kind: run.kind,
    revision: run.revision,
    name: run.name,
    day: dayToColumn(run.day),
    state: run.state,
    minShare: run.minShare,
    priority: run.priority,
    slackDays: run.slackDays,
    note: run.note ?? '',
    doneOn: run.doneOn === null ? null : dayToColumn(run.doneOn),
    cancelledAt: run.cancelled?.at ?? null,
    cancelledBy: run.cancelled?.byStaffId ?? null,
    cancelReason: run.cancelled?.reason ?? null,
    ...(run.kind === 'bulk' ? bulkColumns(run) : orderColumns(run)),
  };
}

function bulkColumns(run: BulkRunRow) {
  return {
    substrateWetG: run.substrateWetG,
    substrateMoisture: run.substrateMoisture,
    spawnRate: run.spawnRate,
    basis: run.basis,
    maxShare: run.maxShare,
    minG: run.minGrams,
    targetG: run.targetGrams,
    maxG: run.maxGrams,
  };
}

function orderColumns({ jars, sizeId, forWhom }: Pick<OrderRow, 'jars' | 'sizeId' | 'forWhom'>) {
  // The basis has a default in the table, which an order must not take.
  return { jars, sizeId, forWhom: forWhom ?? '', maxShare: 1, basis: null };
}

type RunColumns = Awaited<ReturnType<GrowerTx['bulkRun']['findFirstOrThrow']>> & {
  readonly strains: readonly { readonly strainId: string }[];
};

async function runsFromColumns(tx: GrowerTx, growerId: string, rows: readonly RunColumns[]): Promise<RunRow[]> {
  const orders = rows.filter(({ kind }) => kind === 'order');
  if (orders.length === 0) return rows.map(bulkFromColumns);
  const sizes = await sizeHoldings(tx, growerId);
  const given = await jarsHandedOver(
    tx,
    growerId,
    orders.map(({ id }) => id),
  );
  return rows.map((row) => {
    if (row.kind !== 'order') return bulkFromColumns(row);
    const { name: sizeName, ripeGrams } = sizes.get(row.sizeId!)!;
    const order = { jars: row.jars!, ripeGrams, handedOver: given.get(row.id) ?? 0 };
    const { minShare } = anyFromColumns(row);
    return {
      ...{ ...anyFromColumns(row), ...order, kind: 'order' as const, sizeId: row.sizeId!, sizeName },
      ...orderDemand({ ...order, minShare, handedOver: 0 }),
      forWhom: row.forWhom === '' ? null : row.forWhom,
    };
  });
}

function bulkFromColumns(row: RunColumns): BulkRunRow {
  return {
    ...anyFromColumns(row),
    kind: 'bulk',
    substrateWetG: numberFromColumn(row.substrateWetG!),
    substrateMoisture: numberFromColumnOrNull(row.substrateMoisture),
    spawnRate: numberFromColumn(row.spawnRate!),
    basis: row.basis as BulkRunJson['basis'],
    maxShare: numberFromColumn(row.maxShare),
    minGrams: numberFromColumn(row.minG!),
    targetGrams: numberFromColumn(row.targetG!),
    maxGrams: numberFromColumn(row.maxG!),
  };
}

function anyFromColumns(row: RunColumns): Omit<AnyRun, 'minGrams' | 'targetGrams' | 'maxGrams'> {
  return {
    id: row.id,
    revision: row.revision,
    name: row.name,
    day: dayFromColumn(row.day),
    strainIds: row.strains.map(({ strainId }) => strainId),
    minShare: numberFromColumn(row.minShare),
    priority: row.priority,
    slackDays: row.slackDays,
    note: row.note === '' ? null : row.note,
    state: row.state as Run['state'],
    doneOn: row.doneOn === null ? null : dayFromColumn(row.doneOn),
    cancelled: cancelledFrom(row),
  };
}

function cancelledFrom({ cancelledAt, cancelledBy, cancelReason }: RunColumns): RunRow['cancelled'] {
  return cancelledAt === null ? null : { at: cancelledAt, byStaffId: cancelledBy, reason: cancelReason };
}
