import type { Page } from 'playwright-core';
import type { FixtureFarm } from './fixture-farm.js';

/** Enrols the browser as a shared tablet of the farm, with a one-time code from the desk. */
export async function enrolTablet(
  page: Page,
  origin: string,
  farm: Pick<FixtureFarm, 'call'>,
  name: string,
): Promise<void> {
  const { code } = (await farm.call('POST', '/api/devices/enrolments', { name })) as { code: string };
  await page.goto(`${origin}/bench`);
  await page.getByLabel('Code from the desk').fill(code);
  await page.getByRole('button', { name: 'Enrol' }).click();
}

export async function typePin(page: Page, pin: string): Promise<void> {
  for (const digit of pin) await page.getByRole('button', { name: digit, exact: true }).click();
}

/** Names who works at the tablet. Ends on the bench's first screen. */
export async function comeIn(page: Page, person: string, pin: string): Promise<void> {
  await page.getByRole('button', { name: new RegExp(`^${person}`) }).click();
  await typePin(page, pin);
  await page.getByRole('heading', { level: 1, name: 'Bench' }).waitFor();
}
