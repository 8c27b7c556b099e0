import { roleUrl } from './roles.js';

/** How to reach the database as each role. */
export interface DatabaseUrls {
  readonly owner: string;
  readonly app: string;
  readonly platform: string;
  readonly queue: string;
}

export interface DatabaseUrlSettings {
  readonly DATABASE_URL: string;
  readonly DATABASE_APP_URL?: string | undefined;
  readonly DATABASE_PLATFORM_URL?: string | undefined;
  readonly DATABASE_QUEUE_URL?: string | undefined;
}

/** The given connection strings, and for those not given the owner's with the role's name and derived password. */
export function databaseUrls(settings: DatabaseUrlSettings): DatabaseUrls {
  const owner = settings.DATABASE_URL;
  return {
    owner,
    app: settings.DATABASE_APP_URL ?? roleUrl(owner, 'app'),
    platform: settings.DATABASE_PLATFORM_URL ?? roleUrl(owner, 'platform'),
    queue: settings.DATABASE_QUEUE_URL ?? roleUrl(owner, 'queue'),
  };
}
