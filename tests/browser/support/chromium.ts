import { existsSync } from 'node:fs';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';

/** The one without windows first: the same engine, and started in half the time. */
const WHERE_DEBIAN_PUTS_IT = ['/usr/bin/chromium-headless-shell', '/usr/bin/chromium'];

/** A 10-inch tablet on its side and upright, a desk, and the narrowest width of WCAG 2.2, 1.4.10. */
export const SCREENS = {
  desk: { width: 1280, height: 800 },
  tablet: { width: 800, height: 1280 },
  narrow: { width: 320, height: 800 },
} as const;

/** A page, and everything the browser complained about while it was open. */
export interface OpenPage {
  readonly page: Page;
  readonly complaints: readonly string[];
  close(): Promise<void>;
}

/** What every browser of the tests is started with, on a profile that lasts or not. */
export function chromiumOptions(): { readonly executablePath: string; readonly args: string[] } {
  const asked = process.env.CHROMIUM_PATH;
  const known = asked === undefined ? WHERE_DEBIAN_PUTS_IT : [asked];
  const executablePath = known.find((path) => existsSync(path));
  if (executablePath === undefined) {
    throw new Error(`No browser at ${known.join(' or ')}: install Chromium, or set CHROMIUM_PATH to where it is.`);
  }
  const args = ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--disable-dev-shm-usage'];
  return { executablePath, args };
}

export function launchChromium(): Promise<Browser> {
  return chromium.launch(chromiumOptions());
}

/** Opens a page in a profile of its own. The server's content security policy stays in force. */
export async function openPage(browser: Browser, options: BrowserContextOptions = {}): Promise<OpenPage> {
  const context = await browser.newContext({ viewport: SCREENS.desk, locale: 'en-GB', ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(`fault in the page: ${error.message}`));
  page.on('console', (message) => {
    // A refused request is said on the screen; the browser's own line about it is not a fault of the page.
    if (message.type() === 'error' && !/Failed to load resource/.test(message.text())) complaints.push(message.text());
  });
  return { page, complaints, close: () => context.close() };
}
