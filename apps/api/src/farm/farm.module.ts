import { Module } from '@nestjs/common';
import { FarmController } from './farm.controller.js';
import { FarmServicesModule } from './farm-services.module.js';

@Module({ imports: [FarmServicesModule], controllers: [FarmController] })
export class FarmModule {}
