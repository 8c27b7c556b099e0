import { Module } from '@nestjs/common';
import { DevicesController } from './devices.controller.js';
import { OwnDeviceController } from './own-device.controller.js';

@Module({ controllers: [DevicesController, OwnDeviceController] })
export class DevicesModule {}
