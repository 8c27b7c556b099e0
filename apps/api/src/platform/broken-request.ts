import { STATUS_CODES } from 'node:http';
import type { Socket } from 'node:net';
import { PROBLEMS, type ProblemCode } from '@jarfold/contracts';
import { CORRELATION_HEADER, correlationIdFrom } from './correlation.js';
import { problemBody } from './problem-from-error.js';

const BY_NODE_CODE: Readonly<Record<string, readonly [ProblemCode, string]>> = {
  HPE_HEADER_OVERFLOW: ['headers-too-large', 'The headers are larger than this server reads.'],
  ERR_HTTP_REQUEST_TIMEOUT: ['timed-out', 'The request did not arrive in time.'],
};

/** Answers a request that Node could not even parse, when there is no request object to answer through. */
export function answerBrokenRequest(error: Error & { code?: string }, socket: Socket): void {
  if (error.code === 'ECONNRESET' || socket.destroyed || !socket.writable) {
    socket.destroy();
    return;
  }
  const [code, detail] = BY_NODE_CODE[error.code ?? ''] ?? ['malformed-request', 'The request cannot be read as HTTP.'];
  const correlationId = correlationIdFrom(undefined);
  const body = JSON.stringify(problemBody({ code, detail, extensions: {}, unexpected: false }, correlationId));
  const head = [
    `HTTP/1.1 ${PROBLEMS[code].status} ${STATUS_CODES[PROBLEMS[code].status]}`,
    'content-type: application/problem+json',
    `content-length: ${Buffer.byteLength(body)}`,
    `${CORRELATION_HEADER}: ${correlationId}`,
    'cache-control: no-store',
    'connection: close',
  ];
  socket.end(`${head.join('\r\n')}\r\n\r\n${body}`);
}
