import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser } from 'playwright-core';
import { launchChromium, type OpenPage, openPage } from './support/chromium.js';
import { answerThreeQuestions, dayFromToday, OWNER, setUpInBrowser, signIn } from './support/people.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

// A browser, a server and a planner share the machine's cores with whatever else runs on it.
jest.setTimeout(180_000);

describe('from a bare server to a first plan', () => {
  let farm: ServedFarm;
  let browser: Browser;
  let open: OpenPage;

  beforeAll(async () => {
    [farm, browser] = await Promise.all([serveFarm(), launchChromium()]);
    open = await openPage(browser);
  });
  afterAll(async () => {
    await browser?.close();
    await farm?.close();
  });

  it('a wrong set-up code is refused with what to do, and nothing is made', async () => {
    const { page } = open;
    await page.goto(`${farm.address}/`);
    await page.getByRole('heading', { level: 1, name: 'Set up' }).waitFor();
    await page.getByLabel('Set-up code').fill('not-the-code');
    await page.getByLabel('Farm name').fill('Nobody');
    await page.getByLabel('E-mail').fill('nobody@example.org');
    await page.getByLabel('Password').fill('a long enough password');
    await page.getByRole('button', { name: 'Make the farm' }).click();
    const alert = page.getByRole('alert');
    await alert.waitFor();
    expect(await alert.textContent()).toMatch(/set-up link .*start Jarfold again/is);
    expect(await farm.database.sql('SELECT 1 FROM grower')).toHaveLength(0);
  });

  it('a mistake in a box is told at the box before anything is sent', async () => {
    const { page } = open;
    await page.getByLabel('E-mail').fill('mara');
    await page.getByRole('button', { name: 'Make the farm' }).click();
    const box = page.getByLabel('E-mail');
    expect(await box.getAttribute('aria-invalid')).toBe('true');
    const description = await box.getAttribute('aria-describedby');
    expect(await page.locator(`[id="${description}"]`).textContent()).toMatch(/e-mail address/i);
  });

  it('the code from the console makes the farm, three answers make a plan', async () => {
    const { page } = open;
    await setUpInBrowser(page, farm);
    expect(new URL(page.url()).hash).toBe('');
    await answerThreeQuestions(page, { species: /ostreatus/, ripeJars: 12, day: dayFromToday(35), wetKg: 120 });
    await page.getByText(/Planned with what was known on/).waitFor();
    const { starts } = await plannedStarts(farm);
    expect(starts).toBeGreaterThan(0);
    expect(open.complaints).toEqual([]);
  });

  it('a wrong password says so, the right one opens the farm again', async () => {
    const { page } = open;
    await page.getByRole('link', { name: 'Farm' }).click();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { level: 1, name: 'Sign in' }).waitFor();
    await signIn(page, farm.address, 'not the password');
    expect(await page.getByRole('alert').textContent()).toMatch(/do not match an account/);
    await signIn(page, farm.address);
    await page.getByRole('heading', { level: 1, name: 'This week' }).waitFor();
    expect(await page.getByRole('banner').textContent()).toContain(OWNER.farm);
  });
});

async function plannedStarts(farm: ServedFarm): Promise<{ starts: number }> {
  const [row] = await farm.database.sql<{ starts: string }>(
    `SELECT jsonb_array_length(result->'starts') AS starts FROM plan ORDER BY made_at DESC LIMIT 1`,
  );
  return { starts: Number(row?.starts ?? 0) };
}
