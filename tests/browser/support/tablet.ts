import { createHash, X509Certificate } from 'node:crypto';
import { readdir, readFile } from 'node:fs/promises';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { chromiumOptions, SCREENS } from './chromium.js';

/** The name tablets reach the farm by; it is not localhost, so nothing here works without the server's own TLS. */
export const FARM_NAME = 'farm.test';

export interface Tablet {
  readonly context: BrowserContext;
  readonly page: Page;
  readonly complaints: readonly string[];
  /** As when somebody pulls the battery: the browser's process gets no chance to finish anything. */
  kill(): Promise<void>;
}

/** Opens a tablet's browser on a profile that outlives it, trusting the one certificate given. */
export async function openTablet(profile: string, certificatePem: string): Promise<Tablet> {
  const { executablePath, args } = chromiumOptions();
  const context = await chromium.launchPersistentContext(profile, {
    executablePath,
    viewport: SCREENS.desk,
    hasTouch: true,
    locale: 'en-GB',
    args: [
      ...args,
      `--host-resolver-rules=MAP ${FARM_NAME} 127.0.0.1`,
      `--ignore-certificate-errors-spki-list=${publicKeyHash(certificatePem)}`,
    ],
  });
  const page = context.pages()[0] ?? (await context.newPage());
  page.setDefaultTimeout(30_000);
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(`fault in the page: ${error.message}`));
  page.on('console', (message) => {
    if (message.type() === 'error' && !/Failed to load resource/.test(message.text())) complaints.push(message.text());
  });
  return { context, page, complaints, kill: () => killBrowserOf(profile, context) };
}

function publicKeyHash(pem: string): string {
  const key = new X509Certificate(pem).publicKey.export({ type: 'spki', format: 'der' });
  return createHash('sha256').update(key).digest('base64');
}

async function killBrowserOf(profile: string, context: BrowserContext): Promise<void> {
  const pid = await browserProcessOf(profile);
  const closed = new Promise((resolve) => context.once('close', resolve));
  process.kill(pid, 'SIGKILL');
  await closed;
}

/** The browser's own process: it names the profile and is no helper of another. */
async function browserProcessOf(profile: string): Promise<number> {
  for (const name of await readdir('/proc')) {
    if (!/^\d+$/.test(name)) continue;
    const words = await readFile(`/proc/${name}/cmdline`, 'utf8').catch(() => '');
    const isBrowser = words.includes(`--user-data-dir=${profile}\0`) && !words.includes('--type=');
    if (isBrowser && /chrom/.test(words.split('\0')[0] ?? '')) return Number(name);
  }
  throw new Error(`No browser runs on ${profile}.`);
}
