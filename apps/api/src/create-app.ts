import 'reflect-metadata';
import { type Platform } from '@jarfold/server/platform';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import type { FastifyInstance, FastifyReply, FastifyRequest, FastifyServerOptions } from 'fastify';
import { appModule } from './app.module.js';
import { logAnswer } from './platform/access-log.js';
import { answerTablets } from './platform/bench-answers.js';
import { BODY_LIMIT_BYTES } from './platform/body-limit.js';
import { answerBrokenRequest } from './platform/broken-request.js';
import { CORRELATION_HEADER, correlationIdFrom, sendCorrelationId } from './platform/correlation.js';
import { drainConnections } from './platform/drain-connections.js';
import { acceptFiles } from './platform/file-body.js';
import { FrameworkLog } from './platform/framework-log.js';
import { sendProblem } from './platform/problem-filter.js';
import { limitRequests } from './platform/request-limit.js';
import { securityHeaders } from './platform/security-headers.js';
import { serveWebApp } from './platform/web-app.js';
import type { ApiSettings } from './settings.js';
import { serveAuthority } from './trust/local-authority.js';

export interface ServedRoute {
  readonly method: string;
  readonly path: string;
}

export interface Api {
  readonly app: NestFastifyApplication;
  /** Every route the router really has, in OpenAPI's form, for comparing with the document. */
  readonly routes: readonly ServedRoute[];
  /** Opens the port; answers the address with the port that was taken. */
  listen(at: Pick<ApiSettings, 'host' | 'port'>): Promise<string>;
}

export interface AppOptions {
  /** An open platform; the caller closes it after the app. */
  readonly platform: Platform;
  readonly settings: Omit<ApiSettings, 'host' | 'port'>;
  /** The wall clock, unless a test needs another. */
  readonly clock?: () => Date;
}

const MAX_PARAM_LENGTH = 100;
const REQUEST_TIMEOUT_MS = 30_000;

/**
 * Assembles the HTTP edge, ready for requests but not yet listening.
 * @throws Error when a route lacks its contract.
 */
export async function createApp({ platform, settings, clock = () => new Date() }: AppOptions): Promise<Api> {
  const adapter = newAdapter(settings);
  const server = adapter.getInstance() as unknown as FastifyInstance;
  const routes = recordRoutes(server);
  acceptJsonOnly(server);
  acceptFiles(server);
  addHooks(server);
  answerTablets(server);
  drainConnections(server);
  await limitRequests(server, settings.requestsPerMinute);
  const app = await NestFactory.create<NestFastifyApplication>(appModule({ platform, settings, clock }), adapter, {
    logger: new FrameworkLog(),
    bodyParser: false,
    abortOnError: false,
    forceCloseConnections: false,
  });
  app.useSecurityHeaders(securityHeaders(settings.secure));
  app.enableCsrfProtection();
  serveAuthority(server, settings.authority);
  serveWebApp(server, settings.webRoot);
  await app.init();
  await server.ready();
  return { app, routes, listen: (at) => server.listen(at) };
}

function newAdapter({ tls, trustedProxies }: AppOptions['settings']): FastifyAdapter {
  const options: FastifyServerOptions & { https?: { key: Buffer; cert: Buffer } } = {
    ...(tls ? { https: tls } : {}),
    trustProxy: trustedProxies.length > 0 ? [...trustedProxies] : false,
    bodyLimit: BODY_LIMIT_BYTES,
    requestTimeout: REQUEST_TIMEOUT_MS,
    routerOptions: { maxParamLength: MAX_PARAM_LENGTH },
    requestIdHeader: false,
    genReqId: (request) => correlationIdFrom(request.headers[CORRELATION_HEADER]),
    // A request that arrives on a kept-alive connection while we stop is still answered; none is turned away.
    return503OnClosing: false,
    frameworkErrors: (error, request: FastifyRequest, reply: FastifyReply) => {
      sendCorrelationId(request, reply);
      reply.header('x-content-type-options', 'nosniff').header('cache-control', 'no-store');
      sendProblem(request, reply, error);
    },
    clientErrorHandler: answerBrokenRequest,
  };
  return new FastifyAdapter(options as FastifyServerOptions);
}

function recordRoutes(server: FastifyInstance): ServedRoute[] {
  const routes: ServedRoute[] = [];
  server.addHook('onRoute', ({ method, url }) => {
    for (const one of [method].flat()) routes.push({ method: one, path: url.replaceAll(/:(\w+)/g, '{$1}') });
  });
  return routes;
}

/** Forms and plain text are what a page of another site can send without asking: nothing here reads them. */
function acceptJsonOnly(server: FastifyInstance): void {
  server.removeContentTypeParser('text/plain');
}

function addHooks(server: FastifyInstance): void {
  server.addHook('onRequest', async (request, reply) => {
    sendCorrelationId(request, reply);
  });
  server.addHook('onSend', async (_request, reply) => {
    // What a farm keeps does not belong in a cache; the files of the web app say otherwise themselves.
    if (!reply.hasHeader('cache-control')) reply.header('cache-control', 'no-store');
  });
  server.addHook('onResponse', async (request, reply) => logAnswer(request, reply));
}
