import type { Role, StaffMember } from '@jarfold/contracts';
import type { PinSecrets } from '../devices/index.js';
import type { GrowerTx } from '../platform/index.js';
import { AWAY, type AwayColumns, awayPeriods } from './bench-time.repository.js';

interface Columns {
  readonly id: string;
  readonly role: string;
  readonly active: boolean;
  readonly benchMinutes: number | null;
  readonly away: readonly AwayColumns[];
  readonly revision: number;
  readonly name: { readonly name: string } | null;
  readonly pin: { readonly setAt: Date } | null;
}

const SHOWN = { name: true, away: AWAY, pin: { select: { setAt: true } } } as const;

/** Everybody who ever worked here, those at work first. Who has an account is known elsewhere. */
export async function listStaff(tx: GrowerTx, growerId: string): Promise<Omit<StaffMember, 'hasAccount'>[]> {
  const rows = await tx.staff.findMany({
    where: { growerId },
    include: SHOWN,
    orderBy: [{ active: 'desc' }, { createdAt: 'asc' }, { id: 'asc' }],
  });
  return rows.map(member);
}

export async function findStaff(
  tx: GrowerTx,
  growerId: string,
  id: string,
): Promise<Omit<StaffMember, 'hasAccount'> | null> {
  const row = await tx.staff.findUnique({ where: { growerId_id: { growerId, id } }, include: SHOWN });
  return row && member(row);
}

function member({
  id,
  role,
  active,
  benchMinutes,
  away,
  revision,
  name,
  pin,
}: Columns): Omit<StaffMember, 'hasAccount'> {
  return {
    staffId: id,
    name: name?.name ?? null,
    role: role as Role,
    active,
    pinSetAt: pin?.setAt.toISOString() ?? null,
    benchMinutes,
    away: awayPeriods(away),
    revision,
  };
}

export async function insertStaff(
  tx: GrowerTx,
  growerId: string,
  { id, name, role, now }: { readonly id: string; readonly name: string; readonly role: Role; readonly now: Date },
): Promise<void> {
  await tx.staff.create({ data: { growerId, id, role, createdAt: now } });
  await tx.staffName.create({ data: { growerId, staffId: id, name } });
}

export interface StaffColumns {
  readonly id: string;
  /** The one the change was decided on. */
  readonly revision: number;
  readonly role?: Role;
  readonly active?: boolean;
  readonly benchMinutes?: number | null;
}

/** False when the row has another revision by now. */
export async function updateStaff(tx: GrowerTx, growerId: string, change: StaffColumns): Promise<boolean> {
  const { id, revision, ...data } = change;
  const { count } = await tx.staff.updateMany({
    where: { growerId, id, revision },
    data: { ...data, revision: { increment: 1 } },
  });
  return count === 1;
}

export async function saveName(tx: GrowerTx, growerId: string, staffId: string, name: string): Promise<void> {
  await tx.staffName.upsert({
    where: { growerId_staffId: { growerId, staffId } },
    create: { growerId, staffId, name },
    update: { name },
  });
}

/** The log keeps the id, which names nobody any more. */
export async function eraseName(tx: GrowerTx, growerId: string, staffId: string): Promise<void> {
  await tx.staffName.deleteMany({ where: { growerId, staffId } });
}

export async function savePin(
  tx: GrowerTx,
  growerId: string,
  staffId: string,
  secrets: PinSecrets,
  setAt: Date,
): Promise<void> {
  const data = { ...secrets, setAt };
  await tx.staffPin.upsert({
    where: { growerId_staffId: { growerId, staffId } },
    create: { growerId, staffId, ...data },
    update: data,
  });
}

export async function deletePin(tx: GrowerTx, growerId: string, staffId: string): Promise<void> {
  await tx.staffPin.deleteMany({ where: { growerId, staffId } });
}

/** Owners at work, so that a farm never loses its last one. */
export async function ownersAtWork(tx: GrowerTx, growerId: string): Promise<number> {
  return tx.staff.count({ where: { growerId, role: 'owner', active: true } });
}
