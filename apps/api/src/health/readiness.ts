import { readdir } from 'node:fs/promises';
import { whyNotReady } from '@jarfold/server';
import { migrationsFolder, PlatformDb } from '@jarfold/server/platform';
import { Injectable } from '@nestjs/common';

/** Asks the database whether it answers and has every migration this program was built with. */
@Injectable()
export class Readiness {
  private migrations: Promise<readonly string[]> | undefined;

  constructor(private readonly db: PlatformDb) {}

  async whyNot(): Promise<string | undefined> {
    this.migrations ??= migrationNames();
    return whyNotReady(this.db, await this.migrations);
  }
}

async function migrationNames(): Promise<readonly string[]> {
  const entries = await readdir(migrationsFolder(), { withFileTypes: true });
  return entries.filter((entry) => entry.isDirectory()).map((entry) => entry.name);
}
