import {
  type EnrolDevice,
  enrolledSchema,
  enrolSchema,
  ownDeviceSchema,
  type PinSignIn,
  pinSignInSchema,
  whoAmISchema,
} from '@jarfold/contracts';
import {
  DevicesService,
  networkOf,
  PIN_SESSION_ABSOLUTE_MS,
  type ResolvedDevice,
  SessionService,
} from '@jarfold/server';
import { Body, Controller, Get, Post, Req, Res } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { CurrentDevice, Operation } from '../platform/index.js';
import { DEVICE_COOKIE_S, DeviceCookie, SessionCookie } from '../platform/session-cookie.js';

/** What a tablet does for itself: becoming one, knowing who works here, and signing somebody in. */
@Controller('api/device')
export class OwnDeviceController {
  constructor(
    private readonly devices: DevicesService,
    private readonly sessions: SessionService,
    private readonly cookie: SessionCookie,
    private readonly deviceCookie: DeviceCookie,
  ) {}

  @Post()
  @Operation({
    summary: 'Make this browser an enrolled tablet with a one-time code; sets the device cookie',
    status: 201,
    response: enrolledSchema,
    public: true,
    problems: ['enrolment-code-refused', 'too-many-sign-ins'],
  })
  async enrol(
    @Body({ schema: enrolSchema }) body: EnrolDevice,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ) {
    const { token, device } = await this.devices.enrol(body, networkOf(request.ip));
    this.deviceCookie.set(reply, token, DEVICE_COOKIE_S);
    return device;
  }

  @Get()
  @Operation({
    summary: 'This tablet, its farm, and who can sign in on it, with what it needs to check a PIN by itself',
    response: ownDeviceSchema,
    public: true,
    device: 'required',
    problems: ['device-not-enrolled'],
  })
  async own(
    @CurrentDevice() device: ResolvedDevice,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ) {
    const own = await this.devices.own(device);
    this.deviceCookie.set(reply, this.deviceCookie.read(request) ?? '', DEVICE_COOKIE_S);
    return own;
  }

  @Post('session')
  @Operation({
    summary: 'Sign in by PIN on this tablet; sets the session cookie',
    description: 'Gives the rights of the person up to those of a lead, for bench work and for looking at the farm.',
    status: 201,
    response: whoAmISchema,
    public: true,
    device: 'required',
    problems: ['device-not-enrolled', 'wrong-pin', 'too-many-sign-ins'],
  })
  async signIn(
    @CurrentDevice() device: ResolvedDevice,
    @Body({ schema: pinSignInSchema }) body: PinSignIn,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ) {
    const opened = await this.devices.signIn(device, body, request.headers['user-agent'] ?? null);
    await this.endPrevious(request);
    const resolved = await this.sessions.resolve(opened.token, this.deviceCookie.read(request));
    if (!resolved) throw new Error('A session that was just opened does not resolve.');
    this.cookie.set(reply, opened.token, PIN_SESSION_ABSOLUTE_MS / 1000);
    return this.sessions.whoAmI(resolved.context, resolved.sessionId);
  }

  /** Whoever had the tablet before is signed out by the next one. */
  private async endPrevious(request: FastifyRequest): Promise<void> {
    const token = this.cookie.read(request);
    const previous =
      token === undefined ? undefined : await this.sessions.resolve(token, this.deviceCookie.read(request));
    if (previous) await this.sessions.end(previous.context, previous.sessionId);
  }
}
