import {
  idSchema,
  type NewPhoto,
  newPhotoSchema,
  type PhotoQuery,
  photoListSchema,
  photoQuerySchema,
  photoSchema,
} from '@jarfold/contracts';
import { PhotosService, type StaffContext } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Put, Query, StreamableFile } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

const photoId = { schema: idSchema };

/** Pictures taken at the bench. */
@Controller('api/bench/photos')
export class PhotosController {
  constructor(private readonly photos: PhotosService) {}

  @Get()
  @Operation({
    summary: 'Photos of an entry, of a jar, or the newest of the farm',
    description: 'At most 200, the newest first.',
    response: photoListSchema,
  })
  list(@CurrentContext() ctx: GrowerContext, @Query({ schema: photoQuerySchema }) query: PhotoQuery) {
    return this.photos.list(ctx, query);
  }

  @Put(':photoId')
  @Operation({
    summary: 'Keep a photo of an entry; the same one again changes nothing',
    response: photoSchema,
    bench: true,
    problems: ['not-found', 'photo-differs'],
  })
  keep(
    @CurrentContext() ctx: StaffContext,
    @Param('photoId', photoId) id: string,
    @Body({ schema: newPhotoSchema }) photo: NewPhoto,
  ) {
    return this.photos.keep(ctx, id, photo);
  }

  @Get(':photoId')
  @Operation({
    summary: 'The photo itself',
    response: null,
    status: 200,
    mediaType: 'image/jpeg',
    problems: ['not-found'],
  })
  async file(@CurrentContext() ctx: GrowerContext, @Param('photoId', photoId) id: string) {
    return new StreamableFile(await this.photos.content(ctx, id), { type: 'image/jpeg' });
  }
}
