import { AsyncLocalStorage } from 'node:async_hooks';
import { explainDatabaseError } from './database-errors.js';
import type { Prisma, PrismaClient } from './generated/client.js';
import type { GrowerContext } from './grower-context.js';
import { DEFAULT_LIMITS, type TransactionLimits } from './prisma-client.js';

declare const growerTxBrand: unique symbol;

/**
 * A transaction in which exactly one grower's rows exist. Repositories take it as an argument and hold no client, so
 * they cannot be called outside such a transaction: it does not compile.
 */
export type GrowerTx = Prisma.TransactionClient & { readonly [growerTxBrand]: true };

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;

/**
 * The one place where the grower of a transaction is set. The setting is local to the transaction, so a pooled
 * connection never carries it to the next one.
 *
 * Keep the work short: no network, no queue, no file inside.
 */
export class GrowerDb {
  readonly #client: PrismaClient;
  readonly #limits: TransactionLimits;
  /** Opening a second transaction inside the first would wait for it and deadlock when connections run out. */
  readonly #open = new AsyncLocalStorage<true>();

  constructor(client: PrismaClient, limits: TransactionLimits = DEFAULT_LIMITS) {
    this.#client = client;
    this.#limits = limits;
  }

  /**
   * Does the work in one transaction: all of it, or on any error none.
   * @param limits for the rare work that needs longer than a request may, such as deriving a whole log again
   */
  run<T>(
    ctx: Pick<GrowerContext, 'growerId'>,
    work: (tx: GrowerTx) => Promise<T>,
    limits: Partial<TransactionLimits> = {},
  ): Promise<T> {
    return this.#transact(ctx, false, work, { ...this.#limits, ...limits });
  }

  /**
   * Like run, in a transaction in which the database refuses every change. All its queries see the same moment. For
   * whatever answers a GET or gathers facts for a calculation.
   * @param limits for the rare reading of a whole farm
   */
  read<T>(
    ctx: Pick<GrowerContext, 'growerId'>,
    work: (tx: GrowerTx) => Promise<T>,
    limits: Partial<TransactionLimits> = {},
  ): Promise<T> {
    return this.#transact(ctx, true, work, { ...this.#limits, ...limits });
  }

  async #transact<T>(
    { growerId }: Pick<GrowerContext, 'growerId'>,
    readOnly: boolean,
    work: (tx: GrowerTx) => Promise<T>,
    limits: TransactionLimits,
  ): Promise<T> {
    if (!UUID.test(growerId)) throw new TypeError(`A grower id is a UUID, not "${growerId}".`);
    if (this.#open.getStore()) throw new Error('A grower transaction is open already: pass its tx on instead.');
    try {
      return await this.#client.$transaction(
        async (tx) => {
          await tx.$queryRaw`SELECT set_config('app.grower_id', ${growerId}, true),
                                    set_config('transaction_read_only', ${readOnly ? 'on' : 'off'}, true)`;
          return this.#open.run(true, () => work(tx as GrowerTx));
        },
        {
          timeout: limits.timeoutMs,
          maxWait: limits.maxWaitMs,
          ...(readOnly ? { isolationLevel: 'RepeatableRead' } : {}),
        },
      );
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
