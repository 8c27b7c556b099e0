import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type DemoKind, demoFarms, openPlatform } from '@jarfold/server';

interface Welcome {
  readonly address: string;
  readonly dataFolder: string;
  readonly say: (line: string) => void;
}

/**
 * Says how to sign in. An empty database gets the demo when it was asked for, else a set-up link for the first owner; a
 * database with a farm is left alone.
 */
export async function welcome(
  databaseUrl: string,
  demo: DemoKind | null,
  { address, dataFolder, say }: Welcome,
): Promise<void> {
  const note = join(dataFolder, 'demo-sign-in');
  const platform = await openPlatform({ ...process.env, DATABASE_URL: databaseUrl });
  try {
    if (!(await platform.setUpNeeded())) {
      if (demo) say('The database already holds a farm, so no demo was added: use another JARFOLD_DATA folder for it.');
      if (existsSync(note)) say(`Sign in to the demo with ${readFileSync(note, 'utf8').trim()}`);
      return;
    }
    if (demo === null) {
      say(`To set up your farm, open ${address}/set-up#${await platform.issueSetUpToken()} within a day.`);
      return;
    }
    say('Growing an invented farm …');
    const { email, password } = await demoFarms[demo](platform);
    const line = `${email} and the password ${password}`;
    if (existsSync(dataFolder)) writeFileSync(note, `${line}\n`, { mode: 0o600 });
    say(`Sign in to the demo with ${line}`);
  } finally {
    await platform.close();
  }
}
