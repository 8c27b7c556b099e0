import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';

/** Where what a test saw is left to be looked at; not kept. */
export const PICTURES = fileURLToPath(new URL('../../../tmp/screens/', import.meta.url));
mkdirSync(PICTURES, { recursive: true });

/** Pictures are for somebody who looks at them, and take a fifth of the time of these tests: they are asked for. */
const WANTED = process.env.JARFOLD_PICTURES === '1';

/** Takes a picture of the whole page when pictures are wanted; the name may be words. */
export async function takePicture(page: Page, name: string): Promise<void> {
  if (!WANTED) return;
  const file = name
    .replace(/[^a-z0-9]+/gi, '-')
    .replace(/^-/, '')
    .toLowerCase();
  await page.screenshot({ path: `${PICTURES}${file}.png`, fullPage: true });
}
