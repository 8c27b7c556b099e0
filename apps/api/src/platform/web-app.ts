import { existsSync, readdirSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import fileSend from '@fastify/send';
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
export function serveWebApp(server: FastifyInstance, root: string): void {
  const files = existsSync(join(root, 'index.html')) ? filesBelow(root) : new Set<string>();
  server.get('/*', (request, reply) => answer(request, reply, { root, files }));
}

function filesBelow(root: string): Set<string> {
  const entries = readdirSync(root, { recursive: true, withFileTypes: true });
  return new Set(
    entries
      .filter((entry) => entry.isFile())
      .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/')),
  );
}

interface WebApp {
  readonly root: string;
  readonly files: ReadonlySet<string>;
}

function answer(request: FastifyRequest, reply: FastifyReply, { root, files }: WebApp): unknown {
  const path = pathOf(request);
  if (SERVICE_PATHS.test(path)) return reply.callNotFound();
  if (files.size === 0) {
    throw new AppError(
      'not-found',
      'The web app is not built on this server: run `npm run build`. The API under /api works.',
    );
  }
  const name = path.slice(1);
  if (files.has(name)) return sendFile(request, reply, root, name);
  // A missing script or picture must not be answered with the page: the browser would try to run it.
  if (/\.\w+$/.test(name)) return reply.callNotFound();
  return sendFile(request, reply, root, 'index.html');
}

/** Answers also conditional and range requests, with what the file itself says of its type and time. */
async function sendFile(request: FastifyRequest, reply: FastifyReply, root: string, name: string): Promise<unknown> {
  const file = await fileSend(request.raw, `/${name}`, { root, cacheControl: false, index: false });
  const caching = FINGERPRINTED.test(name) ? 'public, max-age=31536000, immutable' : 'no-cache';
  return reply.code(file.statusCode).headers(file.headers).header('cache-control', caching).send(file.stream);
}
