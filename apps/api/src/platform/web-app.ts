import { existsSync, readdirSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import fastifyStatic from '@fastify/static';
import { AppError } from '@jarfold/server/platform';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { pathOf } from './problem-filter.js';

/** Addresses that belong to the service: what is not found there is a problem, never a page. */
const SERVICE_PATHS = /^\/(api|problems|healthz|readyz)(\/|$)/;

/** Built files whose name carries a digest of their content: the same name is always the same file. */
const FINGERPRINTED = /^assets\//;

/**
 * Serves the built web app: its files by name, and its page for every other address that a person may have typed or
 * bookmarked. The list of files is read once, so no request can name a file outside it.
 */
export async function serveWebApp(server: FastifyInstance, root: string): Promise<void> {
  const files = existsSync(join(root, 'index.html')) ? filesBelow(root) : new Set<string>();
  if (files.size > 0) await server.register(fastifyStatic, { root, serve: false, cacheControl: false });
  server.get('/*', (request, reply) => answer(request, reply, files));
}

function filesBelow(root: string): Set<string> {
  const entries = readdirSync(root, { recursive: true, withFileTypes: true });
  return new Set(
    entries
      .filter((entry) => entry.isFile())
      .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/')),
  );
}

function answer(request: FastifyRequest, reply: FastifyReply, files: ReadonlySet<string>): FastifyReply | undefined {
  const path = pathOf(request);
  if (SERVICE_PATHS.test(path)) return void reply.callNotFound();
  if (files.size === 0) {
    throw new AppError(
      'not-found',
      'The web app is not built on this server: run `npm run build`. The API under /api works.',
    );
  }
  const name = path.slice(1);
  if (files.has(name)) return send(reply, name);
  // A missing script or picture must not be answered with the page: the browser would try to run it.
  if (/\.\w+$/.test(name)) return void reply.callNotFound();
  return send(reply, 'index.html');
}

function send(reply: FastifyReply, name: string): FastifyReply {
  const caching = FINGERPRINTED.test(name) ? 'public, max-age=31536000, immutable' : 'no-cache';
  return reply.header('cache-control', caching).sendFile(name);
}
