import { Module } from '@nestjs/common';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { LabelsController } from './labels.controller.js';

@Module({ imports: [FarmServicesModule], controllers: [LabelsController] })
export class LabelsModule {}
