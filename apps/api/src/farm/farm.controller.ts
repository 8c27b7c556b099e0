import {
  type ContainerSizePatch,
  containerSizePatchSchema,
  containerSizeSchema,
  type FarmSettingsPatch,
  type FirstStart,
  farmSchema,
  farmSettingsPatchSchema,
  farmSettingsSchema,
  firstStartedSchema,
  firstStartSchema,
  idSchema,
  type NewContainerSize,
  type NewRoom,
  type NewShelf,
  type NewStrain,
  newContainerSizeSchema,
  newRoomSchema,
  newShelfSchema,
  newStrainSchema,
  type RoomPatch,
  roomPatchSchema,
  roomSchema,
  type ShelfPatch,
  type StrainPatch,
  shelfPatchSchema,
  shelfSchema,
  speciesListSchema,
  strainPatchSchema,
  strainSchema,
} from '@jarfold/contracts';
import { FarmService, FirstStartService, RoomsService, SizesService, StrainsService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Patch, Post } from '@nestjs/common';
import { CurrentContext, IfMatchRevision, Operation } from '../platform/index.js';

/** The farm itself: its lists, its settings, its first start. */
@Controller('api/farm')
export class FarmController {
  constructor(
    private readonly farms: FarmService,
    private readonly firstStarts: FirstStartService,
    private readonly rooms: RoomsService,
    private readonly strains: StrainsService,
    private readonly sizes: SizesService,
  ) {}

  @Get()
  @Operation({ summary: 'The farm: settings, rooms, shelves, strains, container sizes', response: farmSchema })
  farm(@CurrentContext() ctx: GrowerContext) {
    return this.farms.farm(ctx);
  }

  @Get('species')
  @Operation({ summary: 'Species with the values a strain of each starts with', response: speciesListSchema })
  species(@CurrentContext() ctx: GrowerContext) {
    return this.farms.species(ctx);
  }

  @Post('first-start')
  @Operation({
    summary: 'Begin with three answers: strain, ripe jars on hand, next run',
    status: 201,
    response: firstStartedSchema,
    minimumRole: 'owner',
    problems: ['conflict', 'rule-refused'],
  })
  firstStart(@CurrentContext() ctx: GrowerContext, @Body({ schema: firstStartSchema }) body: FirstStart) {
    return this.firstStarts.start(ctx, body);
  }

  @Patch('settings')
  @Operation({
    summary: 'Change settings: rhythm, costs, time zone, grain',
    response: farmSettingsSchema,
    minimumRole: 'lead',
    problems: ['rule-refused'],
  })
  changeSettings(
    @CurrentContext() ctx: GrowerContext,
    @IfMatchRevision() revision: number,
    @Body({ schema: farmSettingsPatchSchema }) body: FarmSettingsPatch,
  ) {
    return this.farms.changeSettings(ctx, revision, body);
  }

  @Post('rooms')
  @Operation({ summary: 'Add a room', status: 201, response: roomSchema, minimumRole: 'lead', problems: ['conflict'] })
  addRoom(@CurrentContext() ctx: GrowerContext, @Body({ schema: newRoomSchema }) body: NewRoom) {
    return this.rooms.addRoom(ctx, body);
  }

  @Patch('rooms/:roomId')
  @Operation({
    summary: 'Change or archive a room',
    response: roomSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict', 'rule-refused'],
  })
  changeRoom(
    @CurrentContext() ctx: GrowerContext,
    @Param('roomId', { schema: idSchema }) roomId: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: roomPatchSchema }) body: RoomPatch,
  ) {
    return this.rooms.changeRoom(ctx, roomId, revision, body);
  }

  @Post('shelves')
  @Operation({
    summary: 'Add a shelf to a room',
    status: 201,
    response: shelfSchema,
    minimumRole: 'lead',
    problems: ['conflict', 'rule-refused'],
  })
  addShelf(@CurrentContext() ctx: GrowerContext, @Body({ schema: newShelfSchema }) body: NewShelf) {
    return this.rooms.addShelf(ctx, body);
  }

  @Patch('shelves/:shelfId')
  @Operation({
    summary: 'Change or archive a shelf',
    response: shelfSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict', 'rule-refused'],
  })
  changeShelf(
    @CurrentContext() ctx: GrowerContext,
    @Param('shelfId', { schema: idSchema }) shelfId: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: shelfPatchSchema }) body: ShelfPatch,
  ) {
    return this.rooms.changeShelf(ctx, shelfId, revision, body);
  }

  @Post('strains')
  @Operation({
    summary: 'Add a strain; what is left out goes by its species',
    status: 201,
    response: strainSchema,
    minimumRole: 'lead',
    problems: ['conflict', 'rule-refused'],
  })
  addStrain(@CurrentContext() ctx: GrowerContext, @Body({ schema: newStrainSchema }) body: NewStrain) {
    return this.strains.add(ctx, body);
  }

  @Patch('strains/:strainId')
  @Operation({
    summary: 'Change or archive a strain; null puts a value back to its species',
    response: strainSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict', 'rule-refused'],
  })
  changeStrain(
    @CurrentContext() ctx: GrowerContext,
    @Param('strainId', { schema: idSchema }) strainId: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: strainPatchSchema }) body: StrainPatch,
  ) {
    return this.strains.change(ctx, strainId, revision, body);
  }

  @Post('sizes')
  @Operation({
    summary: 'Add a container size',
    status: 201,
    response: containerSizeSchema,
    minimumRole: 'lead',
    problems: ['conflict'],
  })
  addSize(@CurrentContext() ctx: GrowerContext, @Body({ schema: newContainerSizeSchema }) body: NewContainerSize) {
    return this.sizes.add(ctx, body);
  }

  @Patch('sizes/:sizeId')
  @Operation({
    summary: 'Change, count or archive a container size',
    response: containerSizeSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict', 'rule-refused'],
  })
  changeSize(
    @CurrentContext() ctx: GrowerContext,
    @Param('sizeId', { schema: idSchema }) sizeId: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: containerSizePatchSchema }) body: ContainerSizePatch,
  ) {
    return this.sizes.change(ctx, sizeId, revision, body);
  }
}
