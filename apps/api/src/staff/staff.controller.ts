import {
  type BenchTime,
  benchTimeSchema,
  type ChangeStaff,
  changeStaffSchema,
  idSchema,
  leaveSchema,
  type NewStaff,
  newStaffSchema,
  type SetPin,
  type StaffLeaves,
  setPinSchema,
  staffListSchema,
  staffMemberSchema,
} from '@jarfold/contracts';
import { StaffService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Delete, Get, Param, Post, Put } from '@nestjs/common';
import { CurrentContext, IfMatchRevision, Operation } from '../platform/index.js';

const staffId = { schema: idSchema };

/** The people of the farm. */
@Controller('api/staff')
export class StaffController {
  constructor(private readonly staff: StaffService) {}

  @Get()
  @Operation({ summary: 'Who works on the farm, and who did', response: staffListSchema, minimumRole: 'lead' })
  list(@CurrentContext() ctx: GrowerContext) {
    return this.staff.list(ctx);
  }

  @Post()
  @Operation({ summary: 'Add a hand or a lead', status: 201, response: staffMemberSchema, minimumRole: 'owner' })
  add(@CurrentContext() ctx: GrowerContext, @Body({ schema: newStaffSchema }) body: NewStaff) {
    return this.staff.add(ctx, body);
  }

  @Put(':staffId')
  @Operation({
    summary: 'Change a name or a role',
    response: staffMemberSchema,
    minimumRole: 'owner',
    problems: ['not-found', 'revision-stale', 'revision-required', 'rule-refused'],
  })
  change(
    @CurrentContext() ctx: GrowerContext,
    @Param('staffId', staffId) id: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: changeStaffSchema }) body: ChangeStaff,
  ) {
    return this.staff.change(ctx, id, revision, body);
  }

  @Put(':staffId/bench-time')
  @Operation({
    summary: 'Say somebody’s minutes on a bench day and when they are away; the plan follows',
    response: staffMemberSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'revision-stale', 'revision-required', 'rule-refused'],
  })
  setBenchTime(
    @CurrentContext() ctx: GrowerContext,
    @Param('staffId', staffId) id: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: benchTimeSchema }) body: BenchTime,
  ) {
    return this.staff.setBenchTime(ctx, id, revision, body);
  }

  @Put(':staffId/pin')
  @Operation({
    summary: 'Set a PIN for the shared tablets; ends sign-ins with the old one',
    response: null,
    minimumRole: 'owner',
    problems: ['not-found', 'rule-refused'],
  })
  setPin(
    @CurrentContext() ctx: GrowerContext,
    @Param('staffId', staffId) id: string,
    @Body({ schema: setPinSchema }) { pin }: SetPin,
  ): Promise<void> {
    return this.staff.setPin(ctx, id, pin);
  }

  @Delete(':staffId/pin')
  @Operation({
    summary: 'Take a PIN away; ends sign-ins with it',
    response: null,
    minimumRole: 'owner',
    problems: ['not-found'],
  })
  removePin(@CurrentContext() ctx: GrowerContext, @Param('staffId', staffId) id: string): Promise<void> {
    return this.staff.removePin(ctx, id);
  }

  @Post(':staffId/leave')
  @Operation({
    summary: 'Somebody leaves: no sign-in of any kind from now on; what they logged stays',
    response: staffMemberSchema,
    minimumRole: 'owner',
    problems: ['not-found', 'revision-stale', 'revision-required', 'rule-refused'],
  })
  leave(
    @CurrentContext() ctx: GrowerContext,
    @Param('staffId', staffId) id: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: leaveSchema }) body: StaffLeaves,
  ) {
    return this.staff.leave(ctx, id, revision, body);
  }

  @Post(':staffId/return')
  @Operation({
    summary: 'Somebody comes back',
    response: staffMemberSchema,
    minimumRole: 'owner',
    problems: ['not-found', 'revision-stale', 'revision-required'],
  })
  comeBack(
    @CurrentContext() ctx: GrowerContext,
    @Param('staffId', staffId) id: string,
    @IfMatchRevision() revision: number,
  ) {
    return this.staff.comeBack(ctx, id, revision);
  }
}
