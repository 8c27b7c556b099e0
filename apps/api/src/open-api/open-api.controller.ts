import { Controller, Get } from '@nestjs/common';
import { z } from 'zod';
import { Operation } from '../platform/index.js';
import { OpenApiDocument } from '../platform/open-api-document.js';

const openApiSchema = z.looseObject({ openapi: z.string(), paths: z.looseObject({}) });

@Controller('api/openapi.json')
export class OpenApiController {
  constructor(private readonly document: OpenApiDocument) {}

  @Get()
  @Operation({ summary: 'This interface, as an OpenAPI 3.1 document', response: openApiSchema, public: true })
  get() {
    return this.document.get() as z.input<typeof openApiSchema>;
  }
}
