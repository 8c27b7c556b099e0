import { GROWER_HEADER, PROTOCOL_HEADER, roleReaches } from '@jarfold/contracts';
import {
  DevicesService,
  notEnrolled,
  type ResolvedDevice,
  type ResolvedSession,
  SessionService,
} from '@jarfold/server';
import { AppError } from '@jarfold/server/platform';
import { type CanActivate, type ExecutionContext, Injectable } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { rememberDevice, rememberSignedIn } from './current-context.js';
import { type OperationContract, operationOf } from './operation.js';
import { judgeProtocol } from './protocol.js';
import { DeviceCookie, SessionCookie } from './session-cookie.js';

/** The door: finds the tablet and the session behind the cookies and holds them against what the route asks for. */
@Injectable()
export class AccessGuard implements CanActivate {
  constructor(
    private readonly sessions: SessionService,
    private readonly devices: DevicesService,
    private readonly cookie: SessionCookie,
    private readonly deviceCookie: DeviceCookie,
  ) {}

  async canActivate(host: ExecutionContext): Promise<boolean> {
    const contract = operationOf(host.getHandler());
    if (!contract) throw new Error(`${host.getClass().name}.${host.getHandler().name} has no @Operation.`);
    const request = host.switchToHttp().getRequest<FastifyRequest>();
    requireProtocol(request);
    if (contract.device) await this.admitDevice(contract, request);
    if (contract.public) return true;
    const token = this.cookie.read(request);
    const session =
      token === undefined ? undefined : await this.sessions.resolve(token, this.deviceCookie.read(request));
    if (!session)
      throw new AppError('sign-in-required', 'Nobody is signed in, or the session has ended: sign in again.');
    requireSameFarm(request, session);
    requireRole(contract, session);
    requirePassword(contract, session, request.method);
    rememberSignedIn(request, session);
    return true;
  }

  private async admitDevice(contract: OperationContract, request: FastifyRequest): Promise<void> {
    const device: ResolvedDevice | null = await this.devices.resolve(this.deviceCookie.read(request));
    if (device) rememberDevice(request, device);
    else if (contract.device === 'required') throw notEnrolled();
  }
}

/** A tablet says what it speaks; whoever says nothing takes what the server speaks. */
function requireProtocol(request: FastifyRequest): void {
  const asked = request.headers[PROTOCOL_HEADER];
  if (asked === undefined) return;
  const verdict = judgeProtocol(String(asked));
  if (verdict !== null) throw new AppError('protocol-unsupported', verdict);
}

/** The work of one farm must neither be shown to nor sent by the session of another. */
function requireSameFarm(request: FastifyRequest, { context }: ResolvedSession): void {
  const named = request.headers[GROWER_HEADER];
  if (named === undefined || named === context.growerId) return;
  throw new AppError('other-farm', 'The farm this request is for is not the one that is signed in here.');
}

function requireRole({ minimumRole = 'hand' }: OperationContract, { context }: ResolvedSession): void {
  if (roleReaches(context.role, minimumRole)) return;
  throw new AppError('role-too-low', `This needs the role ${minimumRole}; you are signed in as ${context.role}.`);
}

/** A PIN opens what the bench needs: looking at the farm, and changes that are bench work. */
function requirePassword({ bench }: OperationContract, { deviceId }: ResolvedSession, method: string): void {
  if (deviceId === null || bench || method === 'GET' || method === 'HEAD') return;
  throw new AppError('password-needed', 'This is no bench work: sign in with e-mail address and password to do it.');
}
