import { Module } from '@nestjs/common';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { BenchController } from './bench.controller.js';

@Module({ imports: [FarmServicesModule], controllers: [BenchController] })
export class BenchModule {}
