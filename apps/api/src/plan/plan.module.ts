import { Module } from '@nestjs/common';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { PlanController } from './plan.controller.js';

@Module({ imports: [FarmServicesModule], controllers: [PlanController] })
export class PlanModule {}
