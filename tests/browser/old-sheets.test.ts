import { writeFileSync } from 'node:fs';
import { createGrower } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { oldWorkbook } from '../support/old-workbook.js';
import { expectClean } from './support/accessibility.js';
import { launchChromium, openPage, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { dayFromToday, openOwnersPage } from './support/people.js';
import { PICTURES, takePicture } from './support/pictures.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

jest.setTimeout(300_000);

let served: ServedFarm;
let farm: FixtureFarm;
let browser: Browser;

beforeAll(async () => {
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  farm = await makeFixtureFarm(served);
}, 240_000);

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

const clean = async (page: Page, name: string) => {
  await takePicture(page, `old-sheets ${name}`);
  await expectClean(page);
};

/** Chooses an answer, and waits until what follows from it is shown. */
async function choose(page: Page, label: RegExp | string, option: string | RegExp): Promise<void> {
  const box = page.getByLabel(label).first();
  const value = await box.locator('option').filter({ hasText: option }).first().getAttribute('value');
  await box.selectOption(value ?? '');
  await settled(page);
}

const settled = (page: Page) => page.getByText('Reading it the way you said').waitFor({ state: 'hidden' });

describe('the screen of old spreadsheets', () => {
  it('takes a messy workbook, asks what is unclear, and shows its jars in stock', async () => {
    const { page, close, complaints } = await openOwnersPage(browser, { served, farm }, { viewport: SCREENS.desk });
    await page.goto(`${served.address}/workbooks`);
    await page.getByRole('link', { name: 'Bring in an old spreadsheet' }).click();
    await page.getByRole('heading', { level: 1, name: 'Old spreadsheets' }).waitFor();
    await clean(page, 'choose');
    const file = `${PICTURES}cellar.xlsx`;
    writeFileSync(file, await oldWorkbook());
    await page.locator('input[type=file]').setInputFiles(file);
    await page.getByRole('heading', { name: '7 questions about the file' }).waitFor();
    await clean(page, 'questions');

    await choose(page, 'How days are written', 'day, month, year');
    await choose(page, 'How numbers are written', 'with a comma');
    await choose(page, '“Size of the jars” for all rows', '1000 ml');
    // Asked of two tables, answered once.
    await choose(page, '“Blue oy.” is', 'Grey oyster');
    await choose(page, '“warm” is', 'Incubation');
    await page.getByLabel('“cold” is').selectOption('make-new');
    await page.getByLabel('What the room is for').selectOption('cold');
    await page.getByLabel('Its name').fill('Cellar');
    await clean(page, 'make-new');
    await page.getByRole('button', { name: 'Use this' }).last().click();
    await settled(page);
    await page.getByLabel('“Used up or thrown out on” for all rows').fill('2026-11-01');
    await page.getByRole('button', { name: 'Use this' }).first().click();
    await settled(page);
    await page.getByText('4 lots with 5 jars, 2 runs, 2 harvests').waitFor();
    const refused = page.getByRole('table', { name: 'Refused cells' });
    expect(await refused.getByRole('row').allTextContents()).toEqual([
      expect.stringContaining('What stands there'),
      expect.stringContaining('Cellar!E1131/02/2026'),
      expect.stringContaining('Cellar!A12C1'),
    ]);
    await clean(page, 'dry-run');

    await page.getByRole('button', { name: 'Leave those rows out and bring in the rest' }).click();
    await page.getByRole('link', { name: 'See the jars in stock' }).waitFor({ timeout: 60_000 });
    await clean(page, 'applied');
    await page.getByRole('link', { name: 'See the jars in stock' }).click();
    await page.getByRole('heading', { level: 1, name: 'Stock' }).waitFor();
    for (const code of ['C1', 'C2', 'C3', 'C4']) await page.getByText(code, { exact: true }).first().waitFor();
    expect(complaints).toEqual([]);
    await close();
  });

  it.each(['tablet', 'narrow'] as const)('reads well on a smaller screen: %s', async (size) => {
    const { page, close } = await openOwnersPage(browser, { served, farm }, { viewport: SCREENS[size] });
    await page.goto(`${served.address}/old-spreadsheets`);
    await page.locator('input[type=file]').setInputFiles({
      name: 'list.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from('Lot;Jars;Strain;Gen;State;Made;Weight\nZ9;3;Unknown;1;ripe;05/11/2026;1.234\n'),
    });
    await page.getByRole('heading', { name: /questions about the file/ }).waitFor();
    await clean(page, size);
    await close();
  });

  it('is where an empty stock leads', async () => {
    const owner = { email: 'nobody@example.org', password: 'a-password-for-tests-only' };
    const farmOf = { farmName: 'Upper mill', timeZone: 'Europe/Vienna', ownerName: 'Nils', ...owner };
    await createGrower(served.database.platformDb, farmOf);
    const { page, close } = await openPage(browser, { viewport: SCREENS.tablet });
    const headers = { origin: served.address };
    await page.request.post(`${served.address}/api/session`, { data: owner, headers });
    const data = {
      strain: { speciesKey: 'pleurotus-ostreatus' },
      ripeJars: 0,
      run: { day: dayFromToday(40), substrateWetKg: 20 },
    };
    const started = await page.request.post(`${served.address}/api/farm/first-start`, { data, headers });
    expect(started.status()).toBe(201);
    await page.goto(`${served.address}/stock`);
    await page.getByText('No jar stands anywhere yet').waitFor();
    await clean(page, 'empty-stock');
    await page.getByRole('link', { name: 'Bring in an old spreadsheet' }).click();
    await page.getByRole('heading', { level: 1, name: 'Old spreadsheets' }).waitFor();
    await close();
  });
});
