import { AUTHORITY_FILE } from '@jarfold/contracts';
import type { FastifyInstance } from 'fastify';

/** The certificate of the farm's own authority, or null where the server's certificate comes from elsewhere. */
export class LocalAuthority {
  constructor(readonly pem: Buffer | null) {}
}

/** Hands out the certificate under the media type that makes a tablet offer to install it. It holds no secret. */
export function serveAuthority(server: FastifyInstance, pem: Buffer | null): void {
  if (pem === null) return;
  server.get(`/${AUTHORITY_FILE}`, (_request, reply) =>
    reply
      .header('content-type', 'application/x-x509-ca-cert')
      .header('content-disposition', `attachment; filename="${AUTHORITY_FILE}"`)
      .send(pem),
  );
}
