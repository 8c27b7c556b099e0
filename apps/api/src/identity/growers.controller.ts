import {
  createdGrowerSchema,
  type NewGrower,
  newGrowerSchema,
  type SetUp,
  setUpSchema,
  setUpStatusSchema,
} from '@jarfold/contracts';
import { createGrower, setUpFirstGrower, setUpNeeded } from '@jarfold/server';
import { PlatformDb } from '@jarfold/server/platform';
import { Body, Controller, Get, Headers, Post, Req } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { Operation } from '../platform/index.js';
import { SignUpPolicy } from './sign-up-policy.js';

/** How farms come to a server: the first by the set-up link, further ones as the operator allows. */
@Controller('api')
export class GrowersController {
  constructor(
    private readonly db: PlatformDb,
    private readonly signUp: SignUpPolicy,
  ) {}

  @Get('set-up')
  @Operation({ summary: 'Whether the first farm is still to be made', response: setUpStatusSchema, public: true })
  async status() {
    return { needed: await setUpNeeded(this.db) };
  }

  @Post('set-up')
  @Operation({
    summary: 'Make the first farm, with the token the server printed when it started',
    status: 201,
    response: createdGrowerSchema,
    public: true,
    problems: ['setup-token-refused', 'already-set-up', 'email-taken', 'too-many-sign-ins'],
  })
  async setUp(@Body({ schema: setUpSchema }) body: SetUp, @Req() request: FastifyRequest) {
    await this.signUp.countTry(request.ip);
    return setUpFirstGrower(this.db, body);
  }

  @Post('growers')
  @Operation({
    summary: 'Make a further farm with its owner account',
    description:
      'Needs the operator token as `Authorization: Bearer <token>`, unless the operator opened the server with JARFOLD_SIGN_UP=open.',
    status: 201,
    response: createdGrowerSchema,
    public: true,
    problems: ['operator-token-required', 'sign-up-closed', 'email-taken', 'too-many-sign-ins'],
  })
  async add(
    @Body({ schema: newGrowerSchema }) body: NewGrower,
    @Headers('authorization') authorization: string | undefined,
    @Req() request: FastifyRequest,
  ) {
    await this.signUp.admit(authorization, request.ip);
    return createGrower(this.db, body);
  }
}
