import { healthSchema, readinessSchema } from '@jarfold/contracts';
import { AppError } from '@jarfold/server/platform';
import { Controller, Get } from '@nestjs/common';
import { Operation } from '../platform/index.js';
import { Readiness } from './readiness.js';

@Controller()
export class HealthController {
  constructor(private readonly readiness: Readiness) {}

  @Get('healthz')
  @Operation({ summary: 'The process is alive', response: healthSchema, public: true })
  alive() {
    return { status: 'up' as const };
  }

  @Get('readyz')
  @Operation({
    summary: 'The service can do its work',
    response: readinessSchema,
    public: true,
    problems: ['unavailable'],
  })
  async ready() {
    const reason = await this.readiness.whyNot();
    if (reason !== undefined) throw new AppError('unavailable', reason);
    return { status: 'ready' as const };
  }
}
