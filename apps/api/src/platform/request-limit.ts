import rateLimit from '@fastify/rate-limit';
import { networkOf } from '@jarfold/server';
import { AppError } from '@jarfold/server/platform';
import type { FastifyInstance } from 'fastify';

/**
 * Keeps one address from taking the whole service: a count of calls per minute, in this process's memory. It is set far
 * above what a farm full of tablets behind one address does; guessing passwords is held back elsewhere, in the database.
 */
export async function limitRequests(server: FastifyInstance, perMinute: number): Promise<void> {
  await server.register(rateLimit, {
    global: true,
    max: perMinute,
    timeWindow: 60_000,
    hook: 'onRequest',
    keyGenerator: (request) => networkOf(request.ip),
    allowList: (request) => !request.url.startsWith('/api/'),
    addHeaders: { 'x-ratelimit-limit': false, 'x-ratelimit-remaining': false, 'x-ratelimit-reset': false },
    addHeadersOnExceeding: { 'x-ratelimit-limit': false, 'x-ratelimit-remaining': false, 'x-ratelimit-reset': false },
    // The framework's filter only sees an error's own status when it is an error of ours.
    errorResponseBuilder: (_request, { ttl }) =>
      new AppError('too-many-requests', `More than ${perMinute} calls in a minute came from this address.`, {
        retryAfterS: Math.max(1, Math.ceil(ttl / 1000)),
      }),
  });
}
