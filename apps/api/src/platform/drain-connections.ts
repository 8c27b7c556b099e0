import type { FastifyInstance } from 'fastify';

const SWEEP_MS = 50;

/**
 * Lets go of kept-alive connections while the server stops. Node closes the idle ones once, when closing begins; one
 * that is answering just then would go idle later and hold the process until it times out.
 */
export function drainConnections(fastify: FastifyInstance): void {
  let closing = false;
  fastify.addHook('onSend', async (_request, reply) => {
    if (closing) reply.header('connection', 'close');
  });
  fastify.addHook('preClose', async () => {
    closing = true;
    const { server } = fastify;
    const sweep = setInterval(() => server.closeIdleConnections(), SWEEP_MS);
    sweep.unref();
    server.once('close', () => clearInterval(sweep));
  });
}
