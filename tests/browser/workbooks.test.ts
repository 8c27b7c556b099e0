import { writeFileSync } from 'node:fs';
import { createGrower } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import ExcelJS from 'exceljs';
import type { Browser, Page, Route } from 'playwright-core';
import { expectClean } from './support/accessibility.js';
import { launchChromium, openPage, SCREENS } from './support/chromium.js';
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
    await page.getByText('Done: 0 added, 1 changed, 0 cancelled.').waitFor();
    await clean(page, 'applied');
    expect(complaints).toEqual([]);
    await close();
  });

  it('lists mistakes and gives the file back with them marked', async () => {
    const { page, close } = await workbooksPage(SCREENS.narrow);
    await page.getByRole('button', { name: 'Make this week’s workbook' }).click();
    await page.getByText(/The workbook is ready: jarfold-.*xlsx/).waitFor();
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

  it('lets one side be chosen for a whole column', async () => {
    const { page, close } = await workbooksPage(SCREENS.desk);
    await page.getByRole('button', { name: 'Make this week’s workbook' }).click();
    await page.getByText(/The workbook is ready: jarfold-.*xlsx/).waitFor();
    const file = await changedFile(page, (runs) => {
      for (const row of [4, 5]) runs.getCell(`J${row}`).value = 7;
    });
    const runs = (await (await page.request.get(`${served.address}/api/runs?state=planned`)).json()).items;
    for (const { id, revision } of runs.slice(0, 2)) {
      const headers = { 'if-match': `"${revision}"`, origin: served.address };
      await page.request.patch(`${served.address}/api/runs/${id}`, { data: { priority: 5 }, headers });
    }
    await page.locator('input[type=file]').setInputFiles(file);
    const column = page.getByRole('group', { name: 'All of Priority' });
    await column.getByText('as in the file').click();
    expect(await page.getByRole('radio', { name: 'File: 7', checked: true }).count()).toBe(2);
    await clean(page, 'whole column');
    await page.getByRole('button', { name: 'Take over these changes' }).click();
    await page.getByText('Done: 0 added, 2 changed, 0 cancelled.').waitFor();
    await close();
  });
});

describe('records and exports', () => {
  it('makes the whole farm a file, and the first screen of an empty farm brings it in to the same state', async () => {
    const { page, close, complaints } = await openOwnersPage(browser, { served, farm }, { viewport: SCREENS.tablet });
    await answerTheFirstListLate(page);
    await page.goto(`${served.address}/exports`);
    expect(await page.getByRole('link', { name: 'Workbooks', exact: true }).first().getAttribute('aria-current')).toBe(
      'page',
    );
    await page.getByRole('button', { name: 'To bring in again' }).click();
    const link = page.getByRole('link', { name: /^Download farm-.*jsonl/ });
    await link.waitFor();
    await clean(page, 'whole farm made');
    const hash = /state ([0-9a-f]{64})/.exec((await page.locator('.exports__made').first().textContent()) ?? '')?.[1];
    const download = page.waitForEvent('download');
    await link.click();
    const file = `${PICTURES}farm.jsonl`;
    await (await download).saveAs(file);
    expect(complaints).toEqual([]);
    await close();
    const empty = await openEmptyFarm();
    await empty.page.locator('input[type=file]').setInputFiles(file);
    await empty.page.getByText(`State ${hash}`).waitFor();
    await clean(empty.page, 'whole farm found');
    await empty.page.getByRole('button', { name: 'Bring this farm in' }).click();
    await empty.page.getByText(/rows brought in\. The farm’s state is the one the file says/).waitFor();
    expect(await empty.page.locator('.exports__hash').textContent()).toContain(hash);
    await clean(empty.page, 'whole farm in');
    await empty.page.getByRole('button', { name: 'Open the farm' }).click();
    await empty.page.getByRole('link', { name: 'Stock' }).waitFor();
    await empty.close();
  });

  /** As on a busy server: what the screen asked first is answered last, after the file was asked for. */
  async function answerTheFirstListLate(page: Page): Promise<void> {
    const asked = page.waitForResponse((answer) => answer.url().endsWith('/api/exports/farm'));
    const hold = async (route: Route) => {
      const answer = await route.fetch();
      await asked;
      await page.waitForTimeout(200);
      // The screen may have dropped the question meanwhile, and then nobody takes the answer.
      await route.fulfill({ response: answer }).catch(() => undefined);
    };
    await page.route('**/api/exports', hold, { times: 1 });
  }

  /** An owner whose farm was told nothing yet; the address leads to its first screen. */
  async function openEmptyFarm() {
    const owner = { email: 'nobody@example.org', password: 'a-password-for-tests-only' };
    const farmOf = { farmName: 'Upper mill', timeZone: 'Europe/Vienna', ownerName: 'Nils', ...owner };
    await createGrower(served.database.platformDb, farmOf);
    const opened = await openPage(browser, { viewport: SCREENS.tablet });
    const headers = { origin: served.address };
    await opened.page.request.post(`${served.address}/api/session`, { data: owner, headers });
    await opened.page.goto(served.address);
    return opened;
  }
});
