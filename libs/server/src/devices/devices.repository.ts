import type { Device, Role } from '@jarfold/contracts';
import { countFromColumn, type GrowerTx } from '../platform/index.js';
import type { PinSecrets } from './pin-hash.js';

/** Devices a person can know: the server's own entries come from none. */
export async function listDevices(tx: GrowerTx, growerId: string, hiddenId: string): Promise<Device[]> {
  const rows = await tx.device.findMany({
    where: { growerId, id: { not: hiddenId } },
    orderBy: [{ enrolled: 'desc' }, { name: 'asc' }, { id: 'asc' }],
  });
  return rows.map(deviceJson);
}

export async function findDevice(tx: GrowerTx, growerId: string, id: string): Promise<Device | null> {
  const row = await tx.device.findUnique({ where: { growerId_id: { growerId, id } } });
  return row && deviceJson(row);
}

interface DeviceColumns {
  readonly id: string;
  readonly name: string;
  readonly enrolled: boolean;
  readonly enrolledAt: Date;
  readonly lastSeenAt: Date | null;
  readonly revokedAt: Date | null;
  readonly lastSeq: bigint;
  readonly revision: number;
}

function deviceJson(row: DeviceColumns): Device {
  return {
    deviceId: row.id,
    name: row.name,
    enrolled: row.enrolled,
    enrolledAt: row.enrolledAt.toISOString(),
    lastSeenAt: row.lastSeenAt?.toISOString() ?? null,
    revokedAt: row.revokedAt?.toISOString() ?? null,
    lastSequence: countFromColumn(row.lastSeq),
    revision: row.revision,
  };
}

/** False when the device has another revision by now. */
export async function renameDevice(
  tx: GrowerTx,
  growerId: string,
  { id, revision, name }: { readonly id: string; readonly revision: number; readonly name: string },
): Promise<boolean> {
  const { count } = await tx.device.updateMany({
    where: { growerId, id, revision },
    data: { name, revision: { increment: 1 } },
  });
  return count === 1;
}

/** Does nothing to one that is out of service already. */
export async function revokeDevice(tx: GrowerTx, growerId: string, id: string, now: Date): Promise<void> {
  await tx.device.updateMany({
    where: { growerId, id, revokedAt: null },
    data: { revokedAt: now, revision: { increment: 1 } },
  });
}

/** Somebody who may be asked for a PIN. */
export interface PersonRow {
  readonly staffId: string;
  readonly name: string;
  readonly role: Role;
  readonly pin: PinSecrets | null;
}

export async function peopleAtWork(tx: GrowerTx, growerId: string): Promise<PersonRow[]> {
  const rows = await tx.staff.findMany({
    where: { growerId, active: true },
    include: { name: true, pin: true },
    orderBy: { createdAt: 'asc' },
  });
  return rows.map(({ id, role, name, pin }) => ({ staffId: id, role: role as Role, name: name?.name ?? '', pin }));
}

/** Their PIN, when they work here and have one. */
export async function pinOf(tx: GrowerTx, growerId: string, staffId: string): Promise<PinSecrets | null> {
  const row = await tx.staff.findFirst({ where: { growerId, id: staffId, active: true }, include: { pin: true } });
  return row?.pin ?? null;
}

export async function farmOf(
  tx: GrowerTx,
  growerId: string,
): Promise<{ growerId: string; name: string; timeZone: string }> {
  const { name, timeZone } = await tx.grower.findUniqueOrThrow({ where: { id: growerId } });
  return { growerId, name, timeZone };
}
