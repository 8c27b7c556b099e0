import {
  type ChangePassword,
  changePasswordSchema,
  idSchema,
  type SignIn,
  sessionListSchema,
  signInSchema,
  whoAmISchema,
} from '@jarfold/contracts';
import { SESSION_ABSOLUTE_MS, SessionService, type StaffContext, signIn } from '@jarfold/server';
import { PlatformDb } from '@jarfold/server/platform';
import { Body, Controller, Delete, Get, Param, Post, Put, Req, Res } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { CurrentContext, CurrentSessionId, Operation } from '../platform/index.js';
import { DeviceCookie, SessionCookie } from '../platform/session-cookie.js';

/** Signing in and out. `session` is the one the cookie carries; `sessions` are all of the person's. */
@Controller('api')
export class SessionController {
  constructor(
    private readonly db: PlatformDb,
    private readonly sessions: SessionService,
    private readonly cookie: SessionCookie,
    private readonly deviceCookie: DeviceCookie,
  ) {}

  @Post('session')
  @Operation({
    summary: 'Sign in; sets the session cookie',
    status: 201,
    response: whoAmISchema,
    public: true,
    problems: ['wrong-credentials', 'too-many-sign-ins'],
  })
  async signIn(
    @Body({ schema: signInSchema }) body: SignIn,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ) {
    const caller = { address: request.ip, userAgent: request.headers['user-agent'] ?? null };
    const opened = await signIn(this.db, body, caller);
    await this.endPrevious(request);
    const resolved = await this.sessions.resolve(opened.token);
    if (!resolved) throw new Error('A session that was just opened does not resolve.');
    this.cookie.set(reply, opened.token, SESSION_ABSOLUTE_MS / 1000);
    return this.sessions.whoAmI(resolved.context, resolved.sessionId);
  }

  @Get('session')
  @Operation({ summary: 'Who is signed in', response: whoAmISchema })
  whoAmI(@CurrentContext() context: StaffContext, @CurrentSessionId() sessionId: string) {
    return this.sessions.whoAmI(context, sessionId);
  }

  @Delete('session')
  @Operation({ summary: 'Sign out here', response: null, bench: true })
  async signOut(
    @CurrentContext() context: StaffContext,
    @CurrentSessionId() sessionId: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<void> {
    await this.sessions.end(context, sessionId);
    this.cookie.clear(reply);
  }

  @Get('sessions')
  @Operation({ summary: 'Where you are signed in', response: sessionListSchema })
  list(@CurrentContext() context: StaffContext, @CurrentSessionId() sessionId: string) {
    return this.sessions.list(context, sessionId);
  }

  @Delete('sessions/:sessionId')
  @Operation({ summary: 'End one of your sessions', response: null, problems: ['not-found'] })
  end(
    @CurrentContext() context: StaffContext,
    @Param('sessionId', { schema: idSchema }) sessionId: string,
  ): Promise<void> {
    return this.sessions.end(context, sessionId);
  }

  @Put('password')
  @Operation({
    summary: 'Change your password; ends your other sessions',
    response: null,
    problems: ['wrong-credentials', 'too-many-sign-ins'],
  })
  changePassword(
    @CurrentContext() context: StaffContext,
    @CurrentSessionId() sessionId: string,
    @Body({ schema: changePasswordSchema }) body: ChangePassword,
  ): Promise<void> {
    return this.sessions.changePassword(context, sessionId, body);
  }

  /** A browser that signs in again leaves no second session behind. */
  private async endPrevious(request: FastifyRequest): Promise<void> {
    const token = this.cookie.read(request);
    const previous =
      token === undefined ? undefined : await this.sessions.resolve(token, this.deviceCookie.read(request));
    if (previous) await this.sessions.end(previous.context, previous.sessionId);
  }
}
