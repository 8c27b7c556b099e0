import {
  BenchService,
  ConflictsService,
  FailedJobsService,
  FarmService,
  FirstStartService,
  LabelsService,
  PhotosService,
  Planner,
  PlanReviewService,
  PlanService,
  RoomsService,
  RunsService,
  SizesService,
  StockService,
  StrainsService,
  TabletService,
  WeekService,
} from '@jarfold/server';
import { type Clock, GrowerDb, systemIds } from '@jarfold/server/platform';
import { Module, type OnApplicationShutdown } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';

/** Ends the planning thread with the app. */
class PlannerEnd implements OnApplicationShutdown {
  constructor(private readonly planner: Planner) {}

  async onApplicationShutdown(): Promise<void> {
    await this.planner.close();
  }
}

/** Services that need the database and the clock, and nothing else. */
const BY_CLOCK = [
  FarmService,
  RoomsService,
  StrainsService,
  StockService,
  WeekService,
  FailedJobsService,
  TabletService,
  PhotosService,
  LabelsService,
];

const PROVIDERS = [
  { provide: Planner, useFactory: () => new Planner() },
  { provide: PlannerEnd, inject: [Planner], useFactory: (planner: Planner) => new PlannerEnd(planner) },
  {
    provide: BenchService,
    inject: [GrowerDb, CLOCK],
    useFactory: (db: GrowerDb, clock: Clock) => new BenchService(db, clock, systemIds),
  },
  {
    provide: PlanService,
    inject: [GrowerDb, Planner, CLOCK],
    useFactory: (db: GrowerDb, planner: Planner, clock: Clock) => new PlanService(db, planner, clock),
  },
  {
    provide: PlanReviewService,
    inject: [GrowerDb, PlanService, Planner, CLOCK],
    useFactory: (db: GrowerDb, plans: PlanService, planner: Planner, clock: Clock) =>
      new PlanReviewService(db, plans, planner, clock),
  },
  ...BY_CLOCK.map((service) => ({
    provide: service,
    inject: [GrowerDb, CLOCK],
    useFactory: (db: GrowerDb, clock: Clock) => new (service as new (db: GrowerDb, clock: Clock) => object)(db, clock),
  })),
  {
    provide: ConflictsService,
    inject: [GrowerDb, BenchService, CLOCK],
    useFactory: (db: GrowerDb, bench: BenchService, clock: Clock) => new ConflictsService(db, bench, systemIds, clock),
  },
  {
    provide: SizesService,
    inject: [GrowerDb, BenchService, CLOCK],
    useFactory: (db: GrowerDb, bench: BenchService, clock: Clock) => new SizesService(db, bench, clock),
  },
  {
    provide: RunsService,
    inject: [GrowerDb, PlanService, CLOCK],
    useFactory: (db: GrowerDb, plans: PlanService, clock: Clock) => new RunsService(db, plans, clock),
  },
  {
    provide: FirstStartService,
    inject: [GrowerDb, BenchService, PlanService, CLOCK],
    useFactory: (db: GrowerDb, bench: BenchService, plans: PlanService, clock: Clock) =>
      new FirstStartService(db, bench, plans, clock),
  },
];

/** The services behind the farm's screens, made from what the edge provides globally. */
@Module({ providers: PROVIDERS, exports: PROVIDERS.map(({ provide }) => provide) })
export class FarmServicesModule {}
