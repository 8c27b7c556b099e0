import {
  deviceListSchema,
  deviceSchema,
  enrolmentSchema,
  idSchema,
  type NewEnrolment,
  newEnrolmentSchema,
  type RenameDevice,
  renameDeviceSchema,
} from '@jarfold/contracts';
import { DevicesService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Delete, Get, Param, Post, Put } from '@nestjs/common';
import { CurrentContext, IfMatchRevision, Operation } from '../platform/index.js';

const deviceId = { schema: idSchema };

/** The farm's devices, from a desk. */
@Controller('api/devices')
export class DevicesController {
  constructor(private readonly devices: DevicesService) {}

  @Get()
  @Operation({
    summary: 'Tablets of the farm, and whatever else has sent bench entries',
    response: deviceListSchema,
    minimumRole: 'lead',
  })
  list(@CurrentContext() ctx: GrowerContext) {
    return this.devices.list(ctx);
  }

  @Post('enrolments')
  @Operation({
    summary: 'A one-time code that makes a tablet a device of the farm',
    status: 201,
    response: enrolmentSchema,
    minimumRole: 'owner',
  })
  offer(@CurrentContext() ctx: GrowerContext, @Body({ schema: newEnrolmentSchema }) body: NewEnrolment) {
    return this.devices.offerEnrolment(ctx, body);
  }

  @Put(':deviceId')
  @Operation({
    summary: 'Rename a device',
    response: deviceSchema,
    minimumRole: 'owner',
    problems: ['not-found', 'revision-stale', 'revision-required'],
  })
  rename(
    @CurrentContext() ctx: GrowerContext,
    @Param('deviceId', deviceId) id: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: renameDeviceSchema }) { name }: RenameDevice,
  ) {
    return this.devices.rename(ctx, id, revision, name);
  }

  @Delete(':deviceId')
  @Operation({
    summary: 'Take a device out of service: it sends nothing more and nobody is signed in on it',
    response: null,
    minimumRole: 'owner',
    problems: ['not-found'],
  })
  revoke(@CurrentContext() ctx: GrowerContext, @Param('deviceId', deviceId) id: string): Promise<void> {
    return this.devices.revoke(ctx, id);
  }
}
