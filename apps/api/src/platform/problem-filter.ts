import { PROBLEMS } from '@jarfold/contracts';
import { AppError, log } from '@jarfold/server/platform';
import { type ArgumentsHost, Catch, type ExceptionFilter, Injectable, NotFoundException } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { BODY_LIMIT_BYTES } from './body-limit.js';
import { correlationIdOf } from './correlation.js';
import { Operations } from './operations.js';
import { type Failure, failureFrom, problemBody } from './problem-from-error.js';

export const PROBLEM_MEDIA_TYPE = 'application/problem+json';

/** The one place where an error becomes an answer. */
@Catch()
@Injectable()
export class ProblemFilter implements ExceptionFilter {
  constructor(private readonly operations: Operations) {}

  catch(error: unknown, host: ArgumentsHost): void {
    const http = host.switchToHttp();
    const request = http.getRequest<FastifyRequest>();
    const reply = http.getResponse<FastifyReply>();
    sendProblem(request, reply, this.asMethodNotAllowed(error, request, reply) ?? error);
  }

  /** The router knows no difference between an unknown address and a method the address does not take; we do. */
  private asMethodNotAllowed(error: unknown, request: FastifyRequest, reply: FastifyReply): AppError | undefined {
    if (!(error instanceof NotFoundException)) return undefined;
    const path = pathOf(request);
    const methods = this.operations.methodsAt(path);
    if (methods.length === 0 || methods.includes(request.method)) return undefined;
    reply.header('allow', methods.join(', '));
    return new AppError('method-not-allowed', `${path} takes ${methods.join(', ')}, not ${request.method}.`);
  }
}

export function pathOf(request: FastifyRequest): string {
  return request.url.split('?', 1)[0] ?? '';
}

/** Answers with the problem an error amounts to, and logs what is our fault with its cause. */
export function sendProblem(request: FastifyRequest, reply: FastifyReply, error: unknown): void {
  const failure = failureFrom(error, BODY_LIMIT_BYTES);
  const correlationId = correlationIdOf(request);
  if (failure.unexpected)
    log.error('request failed', { correlationId, method: request.method, path: pathOf(request), error });
  if (reply.sent || reply.raw.headersSent) return;
  addHeaders(reply, failure);
  reply
    .code(PROBLEMS[failure.code].status)
    .type(PROBLEM_MEDIA_TYPE)
    .serializer(JSON.stringify)
    .send(problemBody(failure, correlationId));
}

function addHeaders(reply: FastifyReply, { code, extensions }: Failure): void {
  const { retryAfterS } = extensions as { retryAfterS?: unknown };
  if (typeof retryAfterS === 'number') reply.header('retry-after', String(retryAfterS));
  // RFC 9110 section 15.5.2: a 401 names how to authenticate.
  if (PROBLEMS[code].status === 401) {
    reply.header(
      'www-authenticate',
      code === 'operator-token-required' ? 'Bearer realm="operator"' : 'Session realm="farm"',
    );
  }
}
