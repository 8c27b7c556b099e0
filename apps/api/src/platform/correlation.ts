import { randomUUID } from 'node:crypto';
import type { FastifyReply, FastifyRequest } from 'fastify';

export const CORRELATION_HEADER = 'x-correlation-id';

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/i;

/**
 * The id that ties a person's report to the server's log. A caller may bring its own, so that a tablet's action can be
 * followed across retries; anything that is not a UUID is replaced, since it ends up in a header and a log.
 */
export function correlationIdFrom(header: string | string[] | undefined): string {
  return typeof header === 'string' && UUID.test(header) ? header.toLowerCase() : randomUUID();
}

/** Fastify's request id is the correlation id (see `genReqId` in create-app). */
export function correlationIdOf(request: FastifyRequest): string {
  return request.id;
}

export function sendCorrelationId(request: FastifyRequest, reply: FastifyReply): void {
  reply.header(CORRELATION_HEADER, correlationIdOf(request));
}
