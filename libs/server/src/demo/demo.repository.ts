import type { GrowerTx, PlatformTx } from '../platform/index.js';

export interface GrowerFound {
  readonly growerId: string;
  readonly name: string;
  readonly ownerStaffId: string;
}

/** Every grower of the service with its owner; a demo is only ever put into an empty one. */
export async function listGrowers(tx: PlatformTx): Promise<GrowerFound[]> {
  const growers = await tx.grower.findMany({
    select: { id: true, name: true, staff: { where: { role: 'owner' }, take: 1 } },
  });
  return growers.map(({ id, name, staff }) => ({ growerId: id, name, ownerStaffId: staff[0]?.id ?? '' }));
}

export async function addStaff(
  tx: GrowerTx,
  growerId: string,
  staff: { readonly id: string; readonly role: string; readonly name: string },
): Promise<void> {
  await tx.staff.createMany({ data: [{ growerId, id: staff.id, role: staff.role }], skipDuplicates: true });
  await tx.staffName.createMany({ data: [{ growerId, staffId: staff.id, name: staff.name }], skipDuplicates: true });
}

/** Each on the day it was planned for. */
export async function markRunsDone(
  tx: GrowerTx,
  growerId: string,
  runs: readonly { readonly id: string }[],
): Promise<void> {
  await tx.$executeRaw`
    UPDATE bulk_run SET state = 'done', done_on = day
    WHERE grower_id = ${growerId}::uuid AND id = ANY(${runs.map(({ id }) => id)}::uuid[])`;
}
