import type { GrowerTx } from './grower-db.js';

/**
 * Does the work inside a savepoint: when it throws, what it changed is undone and the rest of the transaction stands.
 * Savepoints of one transaction follow each other; they are not nested.
 */
export async function savepoint<T>(tx: GrowerTx, work: () => Promise<T>): Promise<T> {
  await tx.$executeRaw`SAVEPOINT step`;
  try {
    const result = await work();
    await tx.$executeRaw`RELEASE SAVEPOINT step`;
    return result;
  } catch (error) {
    await tx.$executeRaw`ROLLBACK TO SAVEPOINT step`;
    await tx.$executeRaw`RELEASE SAVEPOINT step`;
    throw error;
  }
}
