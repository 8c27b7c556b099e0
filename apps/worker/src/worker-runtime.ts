import { type JobName, jobPayloads } from '@jarfold/contracts';
import { forgetPublished, type Planner } from '@jarfold/server';
import {
  connectionTroubleLog,
  databaseUrls,
  type Listening,
  type Log,
  listen,
  type PlatformDb,
  type Queues,
  type SayTrouble,
} from '@jarfold/server/platform';
import type { OnApplicationBootstrap, OnApplicationShutdown } from '@nestjs/common';
import type { FailedJobs } from './failed-jobs.js';
import type { NightlySchedules } from './nightly-schedules.js';
import type { OutboxRelay } from './outbox-relay.js';
import { type Processors, requireProcessors } from './processors.js';
import type { WorkerEnv } from './settings.js';
import type { WeeklySchedules } from './workbooks/weekly-schedules.js';

/** Channel the database announces new outbox rows on. */
const OUTBOX_CHANNEL = 'jarfold_outbox';
const KEEP_IN_STEP_EVERY_MS = 60_000;
const KEEP_PUBLISHED_DAYS = 7;
/** One plan is made at a time (one planning thread); a second job overlaps its reading and writing with that. */
const CONCURRENCY = 2;
/** A job whose worker died is given to another this often; a job that kills every worker then counts as failed. */
const MAX_TAKEOVERS = 3;

export interface RuntimeParts {
  readonly env: WorkerEnv;
  readonly log: Log;
  readonly platformDb: PlatformDb;
  readonly queues: Queues;
  readonly planner: Planner;
  readonly processors: Processors;
  readonly relay: OutboxRelay;
  readonly nightly: NightlySchedules;
  readonly weekly: WeeklySchedules;
  readonly failedJobs: FailedJobs;
}

/** Starts the parts of the worker in order, and stops them in the other. */
export class WorkerRuntime implements OnApplicationBootstrap, OnApplicationShutdown {
  private listening: Listening | null = null;
  private readonly timers: NodeJS.Timeout[] = [];
  private relaying: Promise<void> | null = null;
  private relayAgain = false;
  private stopping = false;

  private readonly sayTrouble: SayTrouble;

  constructor(private readonly parts: RuntimeParts) {
    this.sayTrouble = connectionTroubleLog(parts.log);
  }

  async onApplicationBootstrap(): Promise<void> {
    const { env, log, queues, nightly, weekly, failedJobs } = this.parts;
    requireProcessors(this.parts.processors);
    await failedJobs.collectLeftovers();
    await nightly.keepInStep();
    await weekly.keepInStep();
    for (const name of Object.keys(jobPayloads) as JobName[]) this.workOn(name);
    this.timers.push(setInterval(() => this.wakeRelay(), env.JARFOLD_OUTBOX_POLL_MS));
    this.timers.push(setInterval(() => void this.keepHouse(), KEEP_IN_STEP_EVERY_MS));
    this.listening = listen(databaseUrls(env).platform, OUTBOX_CHANNEL, () => this.wakeRelay(), log);
    log.info('worker-ready', { backend: queues.backend });
  }

  async onApplicationShutdown(): Promise<void> {
    this.stopping = true;
    for (const timer of this.timers) clearInterval(timer);
    await this.listening?.close();
    await this.relaying;
    await this.parts.queues.close();
    await this.parts.planner.close();
  }

  private workOn<Name extends JobName>(name: Name): void {
    const { env, queues, processors, failedJobs, log } = this.parts;
    const worker = queues.work(name, (payload) => processors[name](payload), {
      concurrency: CONCURRENCY,
      lockDurationMs: env.JARFOLD_JOB_LOCK_MS,
      stalledIntervalMs: Math.ceil(env.JARFOLD_JOB_LOCK_MS / 2),
      maxStalledCount: MAX_TAKEOVERS,
    });
    const orLog = (event: string) => (error: unknown) => log.error(event, { error });
    worker.on('failed', (job, error) => void failedJobs.onFailed(job, error).catch(orLog('failed-job-not-kept')));
    worker.on('completed', (job) => void failedJobs.onDone(job).catch(orLog('failed-jobs-not-settled')));
    worker.on('stalled', (jobId) => log.warn('job-taken-over', { job: name, jobId }));
  }

  /** One relay at a time; a wake-up during it makes it go round once more. */
  private wakeRelay(): void {
    if (this.stopping) return;
    this.relayAgain = true;
    this.relaying ??= this.relayUntilQuiet().finally(() => {
      this.relaying = null;
    });
  }

  private async relayUntilQuiet(): Promise<void> {
    while (this.relayAgain && !this.stopping) {
      this.relayAgain = false;
      try {
        await this.parts.relay.relay();
      } catch (error) {
        this.sayTrouble('outbox-relay-failed', error);
      }
    }
  }

  private async keepHouse(): Promise<void> {
    const { nightly, weekly, failedJobs, platformDb } = this.parts;
    try {
      await nightly.keepInStep();
      await weekly.keepInStep();
      await failedJobs.collectLeftovers();
      await platformDb.run((tx) => forgetPublished(tx, KEEP_PUBLISHED_DAYS));
    } catch (error) {
      this.sayTrouble('worker-housekeeping-failed', error);
    }
  }
}
