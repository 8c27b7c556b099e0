import { explainDatabaseError } from './database-errors.js';
import type { Prisma, PrismaClient } from './generated/client.js';
import { DEFAULT_LIMITS, type TransactionLimits } from './prisma-client.js';

declare const platformTxBrand: unique symbol;

/** A transaction that sees across growers, and of their rows only what the platform role was granted. */
export type PlatformTx = Prisma.TransactionClient & { readonly [platformTxBrand]: true };

/**
 * The client that is NOT bound to one grower: sign-in, sessions, making growers, the outbox relay. Whatever concerns a
 * farm's own work belongs in GrowerDb.
 */
export class PlatformDb {
  readonly #client: PrismaClient;
  readonly #limits: TransactionLimits;

  constructor(client: PrismaClient, limits: TransactionLimits = DEFAULT_LIMITS) {
    this.#client = client;
    this.#limits = limits;
  }

  /** Does the work in one transaction. */
  run<T>(work: (tx: PlatformTx) => Promise<T>): Promise<T> {
    return this.#transact(work);
  }

  /** One statement, which is whole by itself: begin and commit around it would be two more ways to the database. */
  async single<T>(statement: (tx: PlatformTx) => Promise<T>): Promise<T> {
    try {
      return await statement(this.#client as unknown as PlatformTx);
    } catch (error) {
      throw explainDatabaseError(error);
    }
  }

  /** Like run, and rows of this grower may be made: the grower itself, its first staff, its counter, its settings. */
  runForGrower<T>(growerId: string, work: (tx: PlatformTx) => Promise<T>): Promise<T> {
    return this.#transact(async (tx) => {
      await tx.$queryRaw`SELECT set_config('app.grower_id', ${growerId}, true)`;
      return work(tx);
    });
  }

  async #transact<T>(work: (tx: PlatformTx) => Promise<T>): Promise<T> {
    try {
      return await this.#client.$transaction((tx) => work(tx as PlatformTx), {
        timeout: this.#limits.timeoutMs,
        maxWait: this.#limits.maxWaitMs,
      });
    } catch (error) {
      throw explainDatabaseError(error);
    }
  }

  /** Loads the query engine and opens a first connection, so that the first request does not pay for them. */
  async open(): Promise<void> {
    await this.#client.$queryRaw`SELECT 1`;
  }

  close(): Promise<void> {
    return this.#client.$disconnect();
  }
}
