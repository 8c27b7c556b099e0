import { roleReaches } from '@jarfold/contracts';
import { SessionService } from '@jarfold/server';
import { AppError } from '@jarfold/server/platform';
import { type CanActivate, type ExecutionContext, Injectable } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { rememberSignedIn } from './current-context.js';
import { operationOf } from './operation.js';
import { SessionCookie } from './session-cookie.js';

/** The door: finds the session behind the cookie and holds its role against what the route asks for. */
@Injectable()
export class AccessGuard implements CanActivate {
  constructor(
    private readonly sessions: SessionService,
    private readonly cookie: SessionCookie,
  ) {}

  async canActivate(host: ExecutionContext): Promise<boolean> {
    const contract = operationOf(host.getHandler());
    if (!contract) throw new Error(`${host.getClass().name}.${host.getHandler().name} has no @Operation.`);
    if (contract.public) return true;
    const request = host.switchToHttp().getRequest<FastifyRequest>();
    const token = this.cookie.read(request);
    const session = token === undefined ? undefined : await this.sessions.resolve(token);
    if (!session)
      throw new AppError('sign-in-required', 'Nobody is signed in, or the session has ended: sign in again.');
    const minimum = contract.minimumRole ?? 'hand';
    if (!roleReaches(session.context.role, minimum)) {
      throw new AppError(
        'role-too-low',
        `This needs the role ${minimum}; you are signed in as ${session.context.role}.`,
      );
    }
    rememberSignedIn(request, session);
    return true;
  }
}
