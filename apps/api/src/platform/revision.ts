import { AppError } from '@jarfold/server/platform';
import { createParamDecorator, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';

const STRONG_TAG = /^"(\d{1,9})"$/;

/**
 * Reads the revision a change was decided on from an If-Match header (RFC 9110 section 13.1.1: a weak tag never matches).
 * @throws AppError `revision-required` without the header, `revision-stale` for a tag that is no revision of ours.
 */
export function revisionFromIfMatch(header: string | undefined): number {
  if (header === undefined || header.trim() === '') {
    throw new AppError(
      'revision-required',
      'This change needs an If-Match header with the revision you read, such as If-Match: "3".',
    );
  }
  const match = STRONG_TAG.exec(header.trim());
  if (!match) {
    throw new AppError(
      'revision-stale',
      `If-Match is ${header.trim()}, which is no revision of this: it is one number in quotes, such as "3".`,
    );
  }
  return Number(match[1]);
}

/** The factory is named so that the OpenAPI document can tell a route that takes If-Match. */
export const revisionFactory = (_: unknown, host: ExecutionContext): number =>
  revisionFromIfMatch(host.switchToHttp().getRequest<FastifyRequest>().headers['if-match']);

/** The revision in the If-Match header: absent answers 428, anything but one strong tag answers 412. */
export const IfMatchRevision = createParamDecorator(revisionFactory);
