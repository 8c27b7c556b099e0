import type { ResolvedDevice, ResolvedSession } from '@jarfold/server';
import { createParamDecorator, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';

/** What signing in left on the request: whose farm, who acts in what role, and by which session. */
export type SignedIn = ResolvedSession;

const signedInByRequest = new WeakMap<FastifyRequest, SignedIn>();

export function rememberSignedIn(request: FastifyRequest, signedIn: SignedIn): void {
  signedInByRequest.set(request, signedIn);
}

/** Who is signed in on this request, if anyone. */
export function signedInOf(request: FastifyRequest): SignedIn | undefined {
  return signedInByRequest.get(request);
}

function requireSignedIn(host: ExecutionContext): SignedIn {
  const signedIn = signedInOf(host.switchToHttp().getRequest<FastifyRequest>());
  if (!signedIn) throw new Error('A public route asked for the signed-in grower: drop `public` from its @Operation.');
  return signedIn;
}

/** The grower, the staff member and the role of this request: what `growerDb.run` and every service take first. */
export const CurrentContext = createParamDecorator(
  (_: unknown, host: ExecutionContext) => requireSignedIn(host).context,
);

/** The id of the session this request came by. */
export const CurrentSessionId = createParamDecorator(
  (_: unknown, host: ExecutionContext) => requireSignedIn(host).sessionId,
);

const deviceByRequest = new WeakMap<FastifyRequest, ResolvedDevice>();

export function rememberDevice(request: FastifyRequest, device: ResolvedDevice): void {
  deviceByRequest.set(request, device);
}

/** The enrolled tablet this request came from; a route whose contract says `device: 'required'` always has one. */
export const CurrentDevice = createParamDecorator(
  (_: unknown, host: ExecutionContext) => deviceByRequest.get(host.switchToHttp().getRequest<FastifyRequest>()) ?? null,
);

/** How somebody is signed in: with a password, or by PIN on this tablet. */
export const SignedInOn = createParamDecorator((_: unknown, host: ExecutionContext) => requireSignedIn(host).deviceId);
