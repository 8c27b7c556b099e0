import type { PlatformTx } from '../platform/index.js';

/** Names of the migrations the connected database has had, whole. */
export async function appliedMigrationNames(tx: PlatformTx): Promise<ReadonlySet<string>> {
  const rows = await tx.$queryRaw<{ migration_name: string }[]>`
    SELECT migration_name FROM public._prisma_migrations WHERE finished_at IS NOT NULL AND rolled_back_at IS NULL`;
  return new Set(rows.map((row) => row.migration_name));
}
