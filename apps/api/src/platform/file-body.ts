import { AppError } from '@jarfold/server/platform';
import { createParamDecorator, type ExecutionContext } from '@nestjs/common';
import type { FastifyInstance, FastifyRequest } from 'fastify';

/** The one media type a file is sent in as: what it really is shows in its bytes, not in what a browser calls it. */
export const FILE_MEDIA_TYPE = 'application/octet-stream';
/** The largest file that is read; the limit of the workbook reader. */
export const FILE_LIMIT_BYTES = 20 * 1024 * 1024;

/** Lets routes take files: their bytes are kept as they came. */
export function acceptFiles(server: FastifyInstance): void {
  const options = { parseAs: 'buffer', bodyLimit: FILE_LIMIT_BYTES } as const;
  server.addContentTypeParser(FILE_MEDIA_TYPE, options, (_request, body, done) => done(null, body));
}

/** Named, so that the OpenAPI document can tell a route that takes a file. */
export const fileFactory = (_: unknown, host: ExecutionContext): Buffer => {
  const { body } = host.switchToHttp().getRequest<FastifyRequest>();
  if (Buffer.isBuffer(body)) return body;
  throw new AppError('unsupported-media-type', `Send the file itself with Content-Type: ${FILE_MEDIA_TYPE}.`);
};

/** The bytes of the file in the body: another media type answers 415, more than the limit 413. */
export const FileBody = createParamDecorator(fileFactory);
