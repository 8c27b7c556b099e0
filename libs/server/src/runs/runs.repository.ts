import type { Run, RunQuery } from '@jarfold/contracts';
import type { CalendarDay } from '@jarfold/domain';
import {
  dayFromColumn,
  dayToColumn,
  type GrowerTx,
  numberFromColumn,
  numberFromColumnOrNull,
} from '../platform/index.js';

/** A bulk run as it is stored. */
export interface RunRow {
  readonly id: string;
  readonly revision: number;
  readonly name: string;
  readonly day: CalendarDay;
  readonly strainIds: readonly string[];
  readonly substrateWetG: number;
  readonly substrateMoisture: number | null;
  readonly spawnRate: number;
  readonly basis: Run['basis'];
  readonly minShare: number;
  readonly maxShare: number;
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
  return rows.map(runFromColumns);
}

export async function findRun(tx: GrowerTx, growerId: string, id: string): Promise<RunRow | null> {
  const row = await tx.bulkRun.findUnique({ where: { growerId_id: { growerId, id } }, include: WITH_STRAINS });
  return row === null ? null : runFromColumns(row);
}

export async function insertRun(tx: GrowerTx, growerId: string, run: RunRow, createdBy: string | null): Promise<void> {
  await tx.bulkRun.create({ data: { growerId, id: run.id, createdBy, ...runColumns(run) } });
  await writeStrains(tx, growerId, run);
}

export async function updateRun(tx: GrowerTx, growerId: string, run: RunRow): Promise<void> {
  await tx.bulkRun.update({ where: { growerId_id: { growerId, id: run.id } }, data: runColumns(run) });
  await tx.bulkRunStrain.deleteMany({ where: { growerId, runId: run.id } });
  await writeStrains(tx, growerId, run);
}

async function writeStrains(tx: GrowerTx, growerId: string, { id, strainIds }: RunRow): Promise<void> {
  const data = strainIds.map((strainId, index) => ({ growerId, runId: id, rank: index + 1, strainId }));
  await tx.bulkRunStrain.createMany({ data });
}

const WITH_STRAINS = { strains: { orderBy: { rank: 'asc' } } } as const;

function runColumns(run: RunRow) {
  return {
    revision: run.revision,
    name: run.name,
    day: dayToColumn(run.day),
    state: run.state,
    substrateWetG: run.substrateWetG,
    substrateMoisture: run.substrateMoisture,
    spawnRate: run.spawnRate,
    basis: run.basis,
    minShare: run.minShare,
    maxShare: run.maxShare,
    minG: run.minGrams,
    targetG: run.targetGrams,
    maxG: run.maxGrams,
    priority: run.priority,
    slackDays: run.slackDays,
    note: run.note ?? '',
    doneOn: run.doneOn === null ? null : dayToColumn(run.doneOn),
    cancelledAt: run.cancelled?.at ?? null,
    cancelledBy: run.cancelled?.byStaffId ?? null,
    cancelReason: run.cancelled?.reason ?? null,
  };
}

type RunColumns = Awaited<ReturnType<GrowerTx['bulkRun']['findFirstOrThrow']>> & {
  readonly strains: readonly { readonly strainId: string }[];
};

function runFromColumns(row: RunColumns): RunRow {
  return {
    id: row.id,
    revision: row.revision,
    name: row.name,
    day: dayFromColumn(row.day),
    strainIds: row.strains.map(({ strainId }) => strainId),
    substrateWetG: numberFromColumn(row.substrateWetG),
    substrateMoisture: numberFromColumnOrNull(row.substrateMoisture),
    spawnRate: numberFromColumn(row.spawnRate),
    basis: row.basis as Run['basis'],
    minShare: numberFromColumn(row.minShare),
    maxShare: numberFromColumn(row.maxShare),
    minGrams: numberFromColumn(row.minG),
    targetGrams: numberFromColumn(row.targetG),
    maxGrams: numberFromColumn(row.maxG),
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
