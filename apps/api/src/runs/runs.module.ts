import { Module } from '@nestjs/common';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { RunsController } from './runs.controller.js';

@Module({ imports: [FarmServicesModule], controllers: [RunsController] })
export class RunsModule {}
