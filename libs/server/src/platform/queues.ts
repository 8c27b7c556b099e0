import { createRequire } from 'node:module';
import { type JobName, type JobPayload, jobPayloads } from '@jarfold/contracts';
import type {
  BackendFactory,
  IQueueBackend,
  Job,
  JobsOptions,
  Queue,
  QueueOptions,
  Worker,
  WorkerOptions,
} from 'bullmq';
import pg from 'pg';
import { connectionTroubleLog, type SayTrouble } from './connection-trouble-log.js';
import { databaseUrls } from './database-urls.js';
import type { PlatformEnv } from './env.js';
import type { Log } from './log.js';
import { QUEUE_SCHEMA } from './migrate.js';

/**
 * Read when queues are opened, not before: the API puts its jobs into the outbox and never opens any, and reading these
 * two takes a tenth of its start.
 */
const require = createRequire(import.meta.url);
const bullmq = () => require('bullmq') as typeof import('bullmq');
const ioredis = () => require('ioredis') as typeof import('ioredis');

/**
 * Where jobs wait: in the farm's own PostgreSQL, or in Redis when REDIS_URL is set. Nothing that uses this can tell
 * which. A job is delivered at least once; its work must be safe to do twice.
 */
export interface Queues {
  readonly backend: 'postgresql' | 'redis';
  /** The queue of a job name; one queue per name. */
  queue(name: JobName): Queue;
  /**
   * Starts working on a queue. The payload is parsed by its contract first; one that does not fit fails at once and is
   * not tried again.
   */
  work<Name extends JobName>(
    name: Name,
    process: (payload: JobPayload<Name>, job: Job) => Promise<unknown>,
    options?: WorkOptions,
  ): Worker;
  /** Lets running jobs finish, then closes everything. */
  close(): Promise<void>;
}

export interface WorkOptions {
  readonly concurrency?: number;
  /** How long a job's lock outlives a dead worker; half of it is when a live one renews. */
  readonly lockDurationMs?: number;
  /** How often workers look for jobs whose worker died. */
  readonly stalledIntervalMs?: number;
  /** How often such a job is given to another worker before it counts as failed. */
  readonly maxStalledCount?: number;
}

/** Tries, and pauses between them, of a job that throws. Then it stays among the failed ones until someone looks. */
export const JOB_DEFAULTS: JobsOptions = {
  attempts: 5,
  backoff: { type: 'exponential', delay: 2_000 },
  removeOnComplete: { age: 24 * 3600, count: 1_000 },
  removeOnFail: false,
};

/** One pool for all queues and workers of a process; each worker keeps one connection of it to listen on. */
const POOL_SIZE = 8;

export function openQueues(env: PlatformEnv, log: Log): Queues {
  return env.REDIS_URL === undefined ? onPostgres(databaseUrls(env).queue, log) : onRedis(env.REDIS_URL, log);
}

type Connection = QueueOptions['connection'];
type Factory = BackendFactory<IQueueBackend, Connection>;

function onPostgres(connectionString: string, log: Log): Queues {
  const pool = new pg.Pool({
    connectionString,
    max: POOL_SIZE,
    application_name: 'jarfold-queue',
    options: `-c search_path=${QUEUE_SCHEMA}`, // BullMQ sets it only on pools it makes itself
  });
  const say = connectionTroubleLog(log);
  pool.on('error', (error) => say('queue-connection-lost', error));
  const connection = pool as unknown as Connection;
  return queuesOn('postgresql', connection, bullmq().createPostgresBackend as unknown as Factory, say, () =>
    pool.end(),
  );
}

function onRedis(url: string, log: Log): Queues {
  const redis = new (ioredis().Redis)(url, { maxRetriesPerRequest: null, lazyConnect: false });
  const say = connectionTroubleLog(log);
  redis.on('error', (error) => say('queue-connection-lost', error));
  const close = async () => {
    await redis.quit().catch(() => redis.disconnect());
  };
  return queuesOn(
    'redis',
    redis as unknown as Connection,
    bullmq().createRedisBackend as unknown as Factory,
    say,
    close,
  );
}

function queuesOn(
  backend: Queues['backend'],
  connection: Connection,
  factory: Factory,
  say: SayTrouble,
  closeConnection: () => Promise<void>,
): Queues {
  const queues = new Map<JobName, Queue>();
  const workers: Worker[] = [];
  const onError = (name: JobName) => (error: Error) => say('queue-error', error, { queue: name });

  const queue = (name: JobName): Queue => {
    const known = queues.get(name);
    if (known) return known;
    const made = new (bullmq().Queue)(
      name,
      { connection, defaultJobOptions: JOB_DEFAULTS },
      factory,
    ) as unknown as Queue;
    made.on('error', onError(name));
    queues.set(name, made);
    return made;
  };

  const work: Queues['work'] = (name, process, options = {}) => {
    const worker = new (bullmq().Worker)(
      name,
      (job) => process(parsePayload(name, job.data), job),
      { connection, ...workerOptions(options) },
      factory,
    ) as unknown as Worker;
    worker.on('error', onError(name));
    workers.push(worker);
    return worker;
  };

  const close = async (): Promise<void> => {
    await Promise.all(workers.map((worker) => worker.close()));
    await Promise.all([...queues.values()].map((one) => one.close()));
    await closeConnection();
  };

  return { backend, queue, work, close };
}

function workerOptions(options: WorkOptions): Omit<WorkerOptions, 'connection'> {
  return {
    concurrency: options.concurrency ?? 1,
    ...(options.lockDurationMs === undefined ? {} : { lockDuration: options.lockDurationMs }),
    ...(options.stalledIntervalMs === undefined ? {} : { stalledInterval: options.stalledIntervalMs }),
    maxStalledCount: options.maxStalledCount ?? 3,
  };
}

/** @throws UnrecoverableError naming what does not fit: trying again would not change the payload. */
function parsePayload<Name extends JobName>(name: Name, data: unknown): JobPayload<Name> {
  const parsed = jobPayloads[name].safeParse(data);
  if (parsed.success) return parsed.data as JobPayload<Name>;
  const problems = parsed.error.issues.map((issue) => `${issue.path.join('.') || 'payload'}: ${issue.message}`);
  throw new (bullmq().UnrecoverableError)(
    `The payload of job ${name} does not fit its contract: ${problems.join('; ')}`,
  );
}
