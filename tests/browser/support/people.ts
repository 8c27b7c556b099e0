import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { type OpenPage, openPage } from './chromium.js';
import type { FixtureFarm } from './fixture-farm.js';
import type { ServedFarm } from './served-farm.js';

export const OWNER = {
  email: 'mara@example.org',
  password: 'wet grain on a cold morning',
  farm: 'Lower mill',
} as const;

/** Sets a new server up in the browser, as its first owner would. Ends on the three questions. */
export async function setUpInBrowser(page: Page, farm: ServedFarm): Promise<void> {
  await page.goto(`${farm.address}/set-up#${await farm.setUpCode()}`);
  await page.getByLabel('Farm name').fill(OWNER.farm);
  await page.getByLabel('Your name').fill('Mara');
  await page.getByLabel('E-mail').fill(OWNER.email);
  await page.getByLabel('Password').fill(OWNER.password);
  await page.getByLabel('Time zone').fill('Europe/Vienna');
  await page.getByRole('button', { name: 'Make the farm' }).click();
  await page.getByRole('heading', { level: 1, name: 'Three questions' }).waitFor();
}

/** Answers the three questions. Ends on the week with its first plan. */
export async function answerThreeQuestions(
  page: Page,
  answers: { readonly species: RegExp; readonly ripeJars: number; readonly day: string; readonly wetKg: number },
): Promise<void> {
  const species = page.getByLabel('Species');
  const option = await species.locator('option', { hasText: answers.species }).first().getAttribute('value');
  await species.selectOption(option);
  await page.getByLabel('Ripe jars on hand').fill(String(answers.ripeJars));
  await page.getByLabel('Day of the run').fill(answers.day);
  await page.getByLabel('Wet substrate').fill(String(answers.wetKg));
  await page.getByRole('button', { name: 'Make the first plan' }).click();
  await page.getByRole('heading', { level: 1, name: 'This week' }).waitFor({ timeout: 120_000 });
}

export async function signIn(page: Page, address: string, password: string = OWNER.password): Promise<void> {
  await page.goto(address);
  await page.getByLabel('E-mail').fill(OWNER.email);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
}

/** A day so many days from today, in the farm's zone, as YYYY-MM-DD. */
export function dayFromToday(days: number): string {
  const today = new Intl.DateTimeFormat('en-CA', { timeZone: 'Europe/Vienna' }).format(new Date());
  const [year = 0, month = 0, day = 0] = today.split('-').map(Number);
  return new Date(Date.UTC(year, month - 1, day + days)).toISOString().slice(0, 10);
}

/** A page of the fixture farm's owner, signed in by the cookie that made the farm. */
export async function openOwnersPage(
  browser: Browser,
  { served, farm }: { readonly served: ServedFarm; readonly farm: FixtureFarm },
  options: BrowserContextOptions,
): Promise<OpenPage> {
  const opened = await openPage(browser, options);
  const [name = '', value = ''] = farm.cookie.split(/=(.*)/s);
  await opened.page.context().addCookies([{ name, value, url: served.address }]);
  return opened;
}

/** Opens a screen by its address and waits until it shows what it fetched. */
export async function openScreen(page: Page, address: string, heading: string): Promise<void> {
  await page.goto(address);
  await screenShown(page, heading);
}

/** Opens another screen of the same page, as a link of it would: nothing is loaded anew but what the screen shows. */
export async function walkTo(page: Page, path: string, heading: string): Promise<void> {
  await page.evaluate((to) => window.history.pushState(null, '', to), path);
  await screenShown(page, heading);
}

async function screenShown(page: Page, heading: string): Promise<void> {
  await page.getByRole('heading', { level: 1, name: heading, exact: true }).waitFor();
  await settled(page);
}

/** Waits until a screen, whichever it is, shows what it fetched. */
export async function settled(page: Page): Promise<void> {
  await page.getByRole('heading', { level: 1 }).waitFor();
  await page.waitForFunction(() => !document.querySelector('.waiting'));
}
