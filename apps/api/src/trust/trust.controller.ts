import { X509Certificate } from 'node:crypto';
import { AUTHORITY_FILE, type Trust, trustSchema } from '@jarfold/contracts';
import { Controller, Get } from '@nestjs/common';
import { Operation } from '../platform/index.js';
import { LocalAuthority } from './local-authority.js';

/** Tablets ask here, before anybody is signed in, which certificate to install so that they trust this server. */
@Controller('api/trust')
export class TrustController {
  constructor(private readonly authority: LocalAuthority) {}

  @Get()
  @Operation({ summary: 'The authority behind this server’s certificate', response: trustSchema, public: true })
  trust(): Trust {
    const { pem } = this.authority;
    if (pem === null) return { authority: null };
    const certificate = new X509Certificate(pem);
    return {
      authority: {
        name: /CN=(.*)/.exec(certificate.subject)?.[1] ?? certificate.subject,
        fingerprint: certificate.fingerprint256,
        validUntil: new Date(certificate.validTo).toISOString(),
        file: `/${AUTHORITY_FILE}`,
      },
    };
  }
}
