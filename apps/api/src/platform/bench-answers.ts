import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import { PROTOCOLS_HEADER } from '@jarfold/contracts';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { SPOKEN } from './protocol.js';

/** Below this a reply fits a few packets either way. */
const WORTH_PACKING_BYTES = 32_768;
const packed = promisify(gzip);

/**
 * What every answer to a tablet carries: the protocols the server speaks; nothing at all when the tablet still has what
 * it asks for (RFC 9110 section 13.1.2); and few bytes, since ten thousand jars go over a farm's wireless.
 */
export function answerTablets(server: FastifyInstance): void {
  server.addHook('onSend', async (request, reply, payload) => {
    if (!/^\/api\/(bench|device)\b/.test(request.url)) return payload;
    reply.header(PROTOCOLS_HEADER, `${SPOKEN.oldest}-${SPOKEN.newest}`);
    if (isStillThere(request, reply)) {
      reply.code(304).removeHeader('content-type').removeHeader('content-length');
      return '';
    }
    if (typeof payload !== 'string' || payload.length < WORTH_PACKING_BYTES || !takesGzip(request)) return payload;
    reply.header('content-encoding', 'gzip').header('vary', 'accept-encoding').removeHeader('content-length');
    return packed(payload);
  });
}

function isStillThere(request: FastifyRequest, reply: FastifyReply): boolean {
  const tag = reply.getHeader('etag');
  const known = request.headers['if-none-match'];
  if (typeof tag !== 'string' || known === undefined || reply.statusCode !== 200) return false;
  return known.split(',').some((one) => one.trim().replace(/^W\//, '') === tag);
}

function takesGzip(request: FastifyRequest): boolean {
  return /(^|[\s,])gzip(?!\s*;\s*q=0(\.0*)?\s*(,|$))/.test(String(request.headers['accept-encoding'] ?? ''));
}
