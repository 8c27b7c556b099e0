import { randomUUID } from 'node:crypto';
import type { GrowerContext, StaffRole } from '@jarfold/server/platform';
import type { TestDatabase } from './test-database.js';

export interface TestGrower {
  readonly growerId: string;
  /** The owner's context. */
  readonly owner: GrowerContext;
}

/** A grower with its counter, its default settings and one owner, made the way the platform makes them. */
export async function makeGrower(database: TestDatabase, name = 'Test farm'): Promise<TestGrower> {
  const growerId = randomUUID();
  const staffId = randomUUID();
  await database.platformDb.runForGrower(growerId, async (tx) => {
    await tx.grower.create({ data: { id: growerId, name, timeZone: 'Europe/Vienna' } });
    await tx.benchCounter.create({ data: { growerId } });
    await tx.farmSettings.create({ data: { growerId } });
    await tx.staff.create({ data: { growerId, id: staffId, role: 'owner' } });
    await tx.staffName.create({ data: { growerId, staffId, name: 'Owner' } });
  });
  return { growerId, owner: { growerId, staffId, role: 'owner' } };
}

/** One more person on a farm. */
export async function makeStaff(database: TestDatabase, growerId: string, role: StaffRole): Promise<GrowerContext> {
  const staffId = randomUUID();
  await database.growerDb.run({ growerId }, async (tx) => {
    await tx.staff.create({ data: { growerId, id: staffId, role } });
    await tx.staffName.create({ data: { growerId, staffId, name: role } });
  });
  return { growerId, staffId, role };
}
