import { Module } from '@nestjs/common';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { PlanController } from './plan.controller.js';
import { PlanReviewController } from './plan-review.controller.js';

@Module({ imports: [FarmServicesModule], controllers: [PlanController, PlanReviewController] })
export class PlanModule {}
