import { Module } from '@nestjs/common';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { StockController } from './stock.controller.js';

@Module({ imports: [FarmServicesModule], controllers: [StockController] })
export class StockModule {}
