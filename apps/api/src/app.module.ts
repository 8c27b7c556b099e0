import { speakPlainly } from '@jarfold/contracts';
import { DevicesService, SessionService, StaffService } from '@jarfold/server';
import { GrowerDb, type Platform, PlatformDb, systemIds } from '@jarfold/server/platform';
import { type DynamicModule, Global, Module, type Provider, StandardSchemaSerializerInterceptor } from '@nestjs/common';
import { APP_FILTER, APP_GUARD, APP_INTERCEPTOR, APP_PIPE, DiscoveryModule, Reflector } from '@nestjs/core';
import { AheadModule } from './ahead/ahead.module.js';
import { BenchModule } from './bench/bench.module.js';
import { CalendarFeedModule } from './calendar-feed/calendar-feed.module.js';
import { DevicesModule } from './devices/devices.module.js';
import { ExportsModule } from './exports/exports.module.js';
import { FarmModule } from './farm/farm.module.js';
import { HealthController } from './health/health.controller.js';
import { Readiness } from './health/readiness.js';
import { GrowersController } from './identity/growers.controller.js';
import { SessionController } from './identity/session.controller.js';
import { SignUpPolicy } from './identity/sign-up-policy.js';
import { ImportsModule } from './imports/imports.module.js';
import { LabelsModule } from './labels/labels.module.js';
import { OpenApiController } from './open-api/open-api.controller.js';
import { PlanModule } from './plan/plan.module.js';
import { AccessGuard } from './platform/access-guard.js';
import { CLOCK } from './platform/clock.js';
import { InputPipe } from './platform/input-pipe.js';
import { OpenApiDocument } from './platform/open-api-document.js';
import { Operations } from './platform/operations.js';
import { ProblemFilter } from './platform/problem-filter.js';
import { DeviceCookie, SessionCookie } from './platform/session-cookie.js';
import { PreparationModule } from './preparation/preparation.module.js';
import { ProblemsController } from './problems/problems.controller.js';
import { RatesModule } from './rates/rates.module.js';
import { RecallModule } from './recall/recall.module.js';
import { RunsModule } from './runs/runs.module.js';
import type { ApiSettings } from './settings.js';
import { StaffModule } from './staff/staff.module.js';
import { SterilisingModule } from './sterilising/sterilising.module.js';
import { StockModule } from './stock/stock.module.js';
import { TraceabilityModule } from './traceability/traceability.module.js';
import { LocalAuthority } from './trust/local-authority.js';
import { TrustController } from './trust/trust.controller.js';
import { WatchModule } from './watch/watch.module.js';
import { WorkbooksModule } from './workbooks/workbooks.module.js';

export interface AppParts {
  readonly platform: Platform;
  readonly settings: Pick<ApiSettings, 'secure' | 'signUp' | 'authority'>;
  readonly clock: () => Date;
}

/** One line per feature: each brings its controllers and the services they need. */
const FEATURES: NonNullable<DynamicModule['imports']> = [
  BenchModule,
  FarmModule,
  StockModule,
  RunsModule,
  PlanModule,
  RatesModule,
  AheadModule,
  RecallModule,
  PreparationModule,
  SterilisingModule,
  WatchModule,
  WorkbooksModule,
  ImportsModule,
  CalendarFeedModule,
  TraceabilityModule,
  ExportsModule,
  DevicesModule,
  LabelsModule,
  StaffModule,
];

const OWN_CONTROLLERS = [
  HealthController,
  ProblemsController,
  OpenApiController,
  SessionController,
  GrowersController,
  TrustController,
];

/** What every request passes, in the framework's order: guard, interceptor, pipe, and the filter for what was thrown. */
const EVERY_REQUEST: Provider[] = [
  { provide: APP_GUARD, useClass: AccessGuard },
  {
    provide: APP_INTERCEPTOR,
    useFactory: (reflector: Reflector) => new StandardSchemaSerializerInterceptor(reflector),
    inject: [Reflector],
  },
  { provide: APP_PIPE, useFactory: () => new InputPipe() },
  { provide: APP_FILTER, useClass: ProblemFilter },
];

/** What every feature may inject without importing anything: the two ways to the database, and who is signed in. */
@Global()
@Module({})
export class EdgeModule {}

@Module({})
export class AppModule {}

/** The whole HTTP edge. */
export function appModule(parts: AppParts): DynamicModule {
  speakPlainly();
  return {
    module: AppModule,
    imports: [edgeModule(parts), ...FEATURES],
    controllers: OWN_CONTROLLERS,
    providers: EVERY_REQUEST,
  };
}

function edgeModule({ platform, settings, clock }: AppParts): DynamicModule {
  const shared: Provider[] = [
    { provide: GrowerDb, useValue: platform.growerDb },
    { provide: CLOCK, useValue: { now: clock } },
    { provide: PlatformDb, useValue: platform.platformDb },
    { provide: SessionCookie, useValue: new SessionCookie(settings.secure) },
    { provide: DeviceCookie, useValue: new DeviceCookie(settings.secure) },
    { provide: SessionService, useValue: new SessionService(platform.platformDb, clock) },
    ...[DevicesService, StaffService].map((service) => ({
      provide: service,
      useValue: new service(platform.growerDb, platform.platformDb, { now: clock }, systemIds),
    })),
    { provide: SignUpPolicy, useValue: new SignUpPolicy(platform.platformDb, settings.signUp) },
    { provide: LocalAuthority, useValue: new LocalAuthority(settings.authority) },
    Operations,
    OpenApiDocument,
    Readiness,
  ];
  return { module: EdgeModule, imports: [DiscoveryModule], providers: shared, exports: shared };
}
