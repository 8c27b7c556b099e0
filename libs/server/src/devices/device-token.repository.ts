import type { PlatformTx } from '../platform/index.js';

/** A tablet as its cookie names it, before anything of its farm is read. */
export interface TokenOwner {
  readonly growerId: string;
  readonly deviceId: string;
}

export async function findTokenOwner(tx: PlatformTx, tokenHash: Uint8Array<ArrayBuffer>): Promise<TokenOwner | null> {
  return tx.deviceToken.findUnique({ where: { tokenHash }, select: { growerId: true, deviceId: true } });
}

export async function insertEnrolment(
  tx: PlatformTx,
  enrolment: {
    readonly codeHash: Uint8Array<ArrayBuffer>;
    readonly growerId: string;
    readonly name: string;
    readonly createdAt: Date;
    readonly expiresAt: Date;
  },
): Promise<void> {
  await tx.deviceEnrolment.deleteMany({ where: { expiresAt: { lt: enrolment.createdAt } } });
  await tx.deviceEnrolment.create({ data: enrolment });
}

/** Whose code it is, whether or not it still works. */
export async function findEnrolment(
  tx: PlatformTx,
  codeHash: Uint8Array<ArrayBuffer>,
): Promise<{ readonly growerId: string; readonly name: string } | null> {
  return tx.deviceEnrolment.findUnique({ where: { codeHash }, select: { growerId: true, name: true } });
}

/** Uses a code up; false when it was used or is too old. One statement, so that two tries cannot both succeed. */
export async function useEnrolment(tx: PlatformTx, codeHash: Uint8Array<ArrayBuffer>, now: Date): Promise<boolean> {
  const { count } = await tx.deviceEnrolment.updateMany({
    where: { codeHash, usedAt: null, expiresAt: { gt: now } },
    data: { usedAt: now },
  });
  return count === 1;
}

/** Makes the device and its token. The transaction must be bound to the grower. */
export async function insertDevice(
  tx: PlatformTx,
  device: TokenOwner & { readonly name: string; readonly tokenHash: Uint8Array<ArrayBuffer>; readonly now: Date },
): Promise<void> {
  const { growerId, deviceId, name, tokenHash, now } = device;
  // createMany reads nothing back: the platform role may make a device and see none.
  await tx.device.createMany({ data: [{ growerId, id: deviceId, name, enrolled: true, enrolledAt: now }] });
  await tx.deviceToken.create({ data: { tokenHash, growerId, deviceId, createdAt: now } });
}

/** Ends what a tablet can show and whoever is signed in on it. */
export async function forgetDevice(tx: PlatformTx, { growerId, deviceId }: TokenOwner, now: Date): Promise<void> {
  await tx.deviceToken.deleteMany({ where: { growerId, deviceId } });
  await tx.session.updateMany({ where: { growerId, deviceId, revokedAt: null }, data: { revokedAt: now } });
}
