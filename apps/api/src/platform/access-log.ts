import { log } from '@jarfold/server/platform';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { correlationIdOf } from './correlation.js';
import { signedInOf } from './current-context.js';

/**
 * One line per answered request. It names the route's template, not the address: ids of jars and people do not belong
 * in a log that is kept longer than they are.
 */
export function logAnswer(request: FastifyRequest, reply: FastifyReply): void {
  const signedIn = signedInOf(request);
  log.info('request', {
    correlationId: correlationIdOf(request),
    method: request.method,
    route: request.routeOptions.url ?? '(none)',
    status: reply.statusCode,
    durationMs: Math.round(reply.elapsedTime * 10) / 10,
    ...(signedIn ? { growerId: signedIn.context.growerId, staffId: signedIn.context.staffId } : {}),
  });
}
