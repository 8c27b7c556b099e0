import { log } from '@jarfold/server/platform';
import type { LoggerService } from '@nestjs/common';

/** Sends what the framework has to say into our own log: warnings and errors only, as one JSON line each. */
export class FrameworkLog implements LoggerService {
  log(): void {}

  warn(message: unknown, ...context: unknown[]): void {
    log.warn(String(message), { context: context.map(String) });
  }

  error(message: unknown, ...context: unknown[]): void {
    log.error(message instanceof Error ? message.message : String(message), {
      ...(message instanceof Error ? { error: message } : {}),
      context: context.map(String),
    });
  }
}
