import type { PlatformTx } from '../platform/index.js';

/** A farm of this service, and an owner of it in whose name a command acts. */
export interface FarmOfService {
  readonly growerId: string;
  readonly name: string;
  readonly ownerStaffId: string;
}

/** Every farm there is, for commands on the machine itself, where nobody signs in. */
export async function listFarms(tx: PlatformTx): Promise<FarmOfService[]> {
  const growers = await tx.grower.findMany({
    select: { id: true, name: true, staff: { where: { role: 'owner' }, orderBy: { createdAt: 'asc' }, take: 1 } },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  });
  return growers.flatMap(({ id, name, staff: [owner] }) =>
    owner === undefined ? [] : [{ growerId: id, name, ownerStaffId: owner.id }],
  );
}
