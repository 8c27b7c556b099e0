import { PrismaPg } from '@prisma/adapter-pg';
import { PrismaClient } from './generated/client.js';

export interface ClientOptions {
  readonly maxConnections: number;
  /** Shown by the database beside each session. */
  readonly applicationName: string;
  readonly onPoolError: (error: Error) => void;
}

/** A client on a pool of its own. Stays inside the platform: services are handed transactions, never this. */
export function prismaClient(connectionString: string, options: ClientOptions): PrismaClient {
  const adapter = new PrismaPg(
    {
      connectionString,
      max: options.maxConnections,
      connectionTimeoutMillis: 5_000,
      idleTimeoutMillis: 30_000,
      application_name: options.applicationName,
    },
    { onPoolError: options.onPoolError },
  );
  return new PrismaClient({ adapter });
}

/** Time a transaction may take, and may wait for a connection. What needs longer is a job in several transactions. */
export interface TransactionLimits {
  readonly timeoutMs: number;
  readonly maxWaitMs: number;
}

export const DEFAULT_LIMITS: TransactionLimits = { timeoutMs: 15_000, maxWaitMs: 5_000 };
