import { Module } from '@nestjs/common';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { BenchController } from './bench.controller.js';
import { PhotosController } from './photos.controller.js';
import { RefusedController } from './refused.controller.js';
import { TabletController } from './tablet.controller.js';

@Module({
  imports: [FarmServicesModule],
  controllers: [BenchController, TabletController, RefusedController, PhotosController],
})
export class BenchModule {}
