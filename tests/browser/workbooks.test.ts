import { writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import ExcelJS from 'exceljs';
import type { Browser, Page } from 'playwright-core';
import { expectClean } from './support/accessibility.js';
import { launchChromium, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { openOwnersPage } from './support/people.js';
import { PICTURES, takePicture } from './support/pictures.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

jest.setTimeout(240_000);

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

async function workbooksPage(viewport: { width: number; height: number }) {
  const opened = await openOwnersPage(browser, { served, farm }, { viewport });
  await opened.page.goto(`${served.address}/workbooks`);
  await opened.page.getByRole('heading', { level: 1, name: 'Workbooks' }).waitFor();
  return opened;
}

/** Downloads the newest workbook, changes it, and answers where the changed file lies. */
async function changedFile(page: Page, change: (runs: ExcelJS.Worksheet) => void): Promise<string> {
  const download = page.waitForEvent('download');
  await page
    .getByRole('link', { name: /^Download week/ })
    .first()
    .click();
  const book = new ExcelJS.Workbook();
  await book.xlsx.readFile(await (await download).path());
  change(book.getWorksheet('Bulk runs')!);
  const file = `${PICTURES}changed.xlsx`;
  writeFileSync(file, Buffer.from(await book.xlsx.writeBuffer()));
  return file;
}

const clean = async (page: Page, name: string) => {
  await takePicture(page, `workbooks ${name}`);
  await expectClean(page);
};

describe('the workbooks screen', () => {
  it('makes a workbook, takes it back, shows what would change, and does it', async () => {
    const { page, close, complaints } = await workbooksPage(SCREENS.desk);
    await clean(page, 'empty');
    await page.getByRole('button', { name: 'Make this week’s workbook' }).click();
    await page.getByRole('link', { name: /^Download week/ }).waitFor();
    const file = await changedFile(page, (runs) => {
      runs.getCell('D4').value = 77;
    });
    await page.locator('input[type=file]').setInputFiles(file);
    await page.getByRole('button', { name: 'Take over these changes' }).waitFor();
    await page.getByRole('cell', { name: '77', exact: true }).waitFor();
    await clean(page, 'compared');
    await page.getByRole('button', { name: 'Take over these changes' }).click();
    await page.getByText(/^Done: no runs added, 1 changed/).waitFor();
    await clean(page, 'applied');
    expect(complaints).toEqual([]);
    await close();
  });

  it('lists mistakes and gives the file back with them marked', async () => {
    const { page, close } = await workbooksPage(SCREENS.narrow);
    await page.getByRole('button', { name: 'Make this week’s workbook' }).click();
    await page.getByText(/The workbook of week .* is ready/).waitFor();
    const file = await changedFile(page, (runs) => {
      runs.getCell('D4').value = 'many';
    });
    await page.locator('input[type=file]').setInputFiles(file);
    const marked = page.getByRole('link', { name: 'Download my file with its mistakes marked' });
    await marked.waitFor();
    await clean(page, 'mistakes');
    const download = page.waitForEvent('download');
    await marked.click();
    const book = new ExcelJS.Workbook();
    await book.xlsx.readFile(await (await download).path());
    expect(book.worksheets[0]?.name).toBe('Mistakes');
    await close();
  });
});
