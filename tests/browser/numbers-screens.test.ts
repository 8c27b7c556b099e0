import { WatchService } from '@jarfold/server';
import { systemClock } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import ExcelJS from 'exceljs';
import type { Browser, Page } from 'playwright-core';
import { expectClean } from './support/accessibility.js';
import { launchChromium, type OpenPage, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { dayFromToday, openOwnersPage, openScreen } from './support/people.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

jest.setTimeout(180_000);

let served: ServedFarm;
let farm: FixtureFarm;
let browser: Browser;
let open: OpenPage;
let page: Page;

beforeAll(async () => {
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  farm = await makeFixtureFarm(served);
  open = await openOwnersPage(browser, { served, farm }, { viewport: SCREENS.tablet, hasTouch: true });
  page = open.page;
}, 240_000);

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

const goTo = (path: string, heading: string) => openScreen(page, `${served.address}${path}`, heading);

/** Downloads what a press brings, and opens it as a workbook. */
async function bookFrom(press: () => Promise<void>): Promise<ExcelJS.Workbook> {
  const [download] = await Promise.all([page.waitForEvent('download'), press()]);
  const book = new ExcelJS.Workbook();
  await book.xlsx.readFile(await download.path());
  return book;
}

const jarCode = async (id: string): Promise<string> =>
  ((await farm.call('GET', `/api/stock/jars/${id}`)) as { jar: { code: string } }).jar.code;

describe('the rates', () => {
  it.each([
    ['What plans use', 'Every value, and where it comes from'],
    ['Contamination', 'Contamination over time'],
    ['Ripening', 'Days to ripe'],
    ['Cold life', 'Cold life'],
    ['Yield', 'Biological efficiency by strain'],
    ['Ahead', 'Harvest by week'],
  ])('show %s by its tab', async (tab, panel) => {
    await goTo('/rates', 'Rates');
    await page
      .getByRole('navigation', { name: 'Kinds of rates' })
      .getByRole('link', { name: tab, exact: true })
      .click();
    await page.getByRole('heading', { name: panel, exact: true }).first().waitFor();
    await page.waitForFunction(() => !document.querySelector('.waiting'));
    await expectClean(page);
  });

  it('work a promise back to runs, and say of mistakes where they are', async () => {
    await goTo('/rates/ahead', 'Rates');
    await page.getByRole('button', { name: 'Work back to runs' }).click();
    await page.getByText('Write the kilograms as a number above 0.').waitFor();
    await page.getByLabel('Fresh mushrooms promised').fill('12,5');
    await page.getByLabel('For the day').fill(dayFromToday(90));
    await page.getByRole('button', { name: 'Work back to runs' }).click();
    await page.getByText('Reckoned with').waitFor();
    const runs = page.getByRole('table', { name: 'Runs to make' }).getByRole('row');
    expect(await runs.count()).toBe(2);
    await page.getByLabel('For the day').fill(dayFromToday(1));
    await page.getByRole('button', { name: 'Work back to runs' }).click();
    await page.getByText(/12.5\skg for .* can no longer be met/).waitFor();
    await expectClean(page);
  });
});

describe('a recall', () => {
  it('of a lot shows its relatives on their shelves, and comes as a workbook', async () => {
    const code = await jarCode(farm.incubating[0]!);
    const lot = code.split('/')[0]!;
    await goTo('/recall', 'Recall');
    await page.getByLabel('Code of a jar or a lot').fill(lot.toLowerCase());
    await page.getByRole('button', { name: 'Find relatives' }).click();
    await page.getByRole('heading', { name: 'Where they stand' }).waitFor();
    await page.waitForFunction(() => !document.querySelector('.waiting'));
    await page.locator('.map-room .jar-button__badge').first().waitFor();
    expect(await page.locator('.map-room .jar-button__badge').count()).toBeGreaterThanOrEqual(farm.incubating.length);
    await page.getByRole('heading', { name: 'Accounted for' }).waitFor();
    await expectClean(page);
    const book = await bookFrom(() => page.getByRole('link', { name: 'Download as a workbook' }).click());
    expect(book.worksheets.map(({ name }) => name)).toEqual(['Relatives', 'Balance', 'Bulk runs']);
    const codes = book.getWorksheet('Relatives')!.getColumn(1).values.map(String);
    for (const id of farm.incubating) expect(codes).toContain(await jarCode(id));
  });
});

describe('a flag', () => {
  it('is marked as seen, folds away with who saw it, and settles when its cause is gone', async () => {
    const strain = (await farm.call('POST', '/api/farm/strains', {
      ...{ speciesKey: 'hericium-erinaceus', code: 'TW9', name: 'Tooth', motherReserve: 2 },
    })) as { id: string; revision: number };
    const session = (await farm.call('GET', '/api/session')) as { farm: { growerId: string } };
    const watch = new WatchService(served.database.growerDb, systemClock);
    const look = () => watch.look({ growerId: session.farm.growerId, staffId: null, role: null });
    await look();
    await goTo('/watch', 'Watch');
    const card = page
      .getByRole('listitem')
      .filter({ hasText: /TW9 lacks/ })
      .last();
    await card.waitFor();
    await page.getByRole('button', { name: /^Seen: TW9/ }).click();
    const folded = page.locator('summary', { hasText: /seen and stand/ });
    await folded.waitFor();
    expect(await card.isVisible()).toBe(false);
    await folded.click();
    await card.getByText(/Seen by Mara on/).waitFor();
    await expectClean(page);
    await look();
    await goTo('/watch', 'Watch');
    await page.locator('summary', { hasText: /seen and stand/ }).click();
    await card.getByText(/Seen by Mara on/).waitFor();
    await farm.call('PATCH', `/api/farm/strains/${strain.id}`, { motherReserve: 0 }, strain.revision);
    // The newest plan may still ask for them; a plan that knows better is made first.
    await farm.call('POST', '/api/plan');
    await look();
    await goTo('/watch', 'Watch');
    const settled = page
      .getByRole('listitem')
      .filter({ hasText: /TW9 lacks/ })
      .last();
    await settled.getByText(/settled on/).waitFor();
    expect(await page.getByRole('button', { name: /^(Seen|Not seen after all): TW9/ }).count()).toBe(0);
  });
});

describe('records and exports', () => {
  it('give a lot’s records by its code, and say of a code nobody has that there is none', async () => {
    const lot = (await jarCode(farm.incubating[0]!)).split('/')[0]!;
    await goTo('/exports', 'Records and exports');
    await page.getByLabel('Only this lot').fill('XX9-26W01-1');
    await page.getByRole('button', { name: 'As a sheet' }).click();
    await page.getByText('There is no such lot on this farm.').waitFor();
    await page.getByLabel('Only this lot').fill(lot);
    const book = await bookFrom(() => page.getByRole('button', { name: 'As a sheet' }).click());
    const cells = book.worksheets[0]!.getSheetValues().flat().map(String);
    expect(cells).toContain(lot);
  });

  it('make a calendar address that works until it is revoked', async () => {
    await goTo('/exports', 'Records and exports');
    await page.getByLabel('What it is for').fill('Telephone');
    await page.getByRole('button', { name: 'Make a calendar address' }).click();
    const address = await page.locator('.feed-address').textContent();
    expect(await (await fetch(address!)).text()).toMatch(/^BEGIN:VCALENDAR/);
    await expectClean(page);
    await page.getByRole('button', { name: 'Revoke Telephone' }).click();
    await page.getByText(/^Telephone: revoked/).waitFor();
    expect((await fetch(address!)).status).toBe(404);
  });

  it('keep how files show things', async () => {
    await goTo('/exports', 'Records and exports');
    await page.getByLabel('Masses').selectOption('us');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByText('Saved. Files made from now on follow it.').waitFor();
    expect(await farm.call('GET', '/api/workbooks/units')).toMatchObject({ massUnit: 'us' });
    expect(open.complaints).toEqual([]);
  });
});
