import type { SecurityHeadersOptions } from '@nestjs/common';

/**
 * The headers every answer carries. The policy allows nothing inline and nothing from elsewhere: the app is built into
 * files of its own. Strict-Transport-Security is only said over TLS; on plain-http localhost it would lock other
 * programs on the machine out of http.
 */
export function securityHeaders(secure: boolean): SecurityHeadersOptions {
  return {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'self'"],
        baseUri: ["'none'"],
        objectSrc: ["'none'"],
        frameAncestors: ["'none'"],
        formAction: ["'self'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", 'data:', 'blob:'],
        connectSrc: ["'self'"],
        workerSrc: ["'self'"],
        manifestSrc: ["'self'"],
      },
    },
    referrerPolicy: { policy: 'same-origin' },
    strictTransportSecurity: secure ? { maxAge: 31_536_000, includeSubDomains: false } : false,
    xFrameOptions: { action: 'deny' },
  };
}
