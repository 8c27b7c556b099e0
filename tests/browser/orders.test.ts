import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { until } from '../support/until.js';
import { axeFindings, expectClean } from './support/accessibility.js';
import { comeIn, enrolTablet } from './support/bench-person.js';
import { smallOnes, smallType } from './support/bench-targets.js';
import { launchChromium, type OpenPage, openPage, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { dayFromToday, openOwnersPage, openScreen } from './support/people.js';
import { takePicture } from './support/pictures.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

// A browser, a server and a planner share the machine's cores with whatever else runs on it.
jest.setTimeout(180_000);

const PIN = '402917';
const NAME = 'Hill farm';

let served: ServedFarm;
let farm: FixtureFarm;
let browser: Browser;
let desk: OpenPage;
let page: Page;

beforeAll(async () => {
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  farm = await makeFixtureFarm(served);
  desk = await openOwnersPage(browser, { served, farm }, { viewport: SCREENS.desk });
  page = desk.page;
}, 240_000);

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

interface Order {
  readonly id: string;
  readonly name: string;
  readonly kind: string;
  readonly jars: number;
  readonly handedOver: number;
  readonly state: string;
}

async function theOrder(): Promise<Order> {
  const { items } = (await farm.call('GET', '/api/runs?state=all')) as { items: Order[] };
  const found = items.find(({ name }) => name === NAME);
  if (!found) throw new Error(`No order is called ${NAME}.`);
  return found;
}

async function plannedGrams(id: string): Promise<number> {
  const { newest } = (await farm.call('GET', '/api/plan')) as {
    newest: { plan: { runs: { run: string; targetGrams: number }[] } };
  };
  return newest.plan.runs.find(({ run }) => run === id)?.targetGrams ?? 0;
}

const open = (path: string, heading: string) => openScreen(page, served.address + path, heading);

const card = () => page.getByRole('listitem').filter({ hasText: NAME });

describe('an order for jars', () => {
  it('is added beside the bulk runs, told apart from them by its word, and planned for', async () => {
    await open('/runs', 'Bulk runs');
    await page.getByRole('button', { name: 'Add an order' }).first().click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Day it is handed over').fill(dayFromToday(2));
    await sheet.getByLabel('Jars ordered').fill('two');
    await sheet.getByRole('button', { name: 'Save' }).click();
    expect(await sheet.getByLabel('Jars ordered').getAttribute('aria-invalid')).toBe('true');
    await sheet.getByLabel('Jars ordered').fill('2');
    await sheet.getByRole('checkbox', { name: /Grey oyster/ }).check();
    await sheet.getByLabel('For whom').fill('The school on the hill');
    await sheet.getByText('More about this order').click();
    await sheet.getByLabel('Order name').fill(NAME);
    expect(await axeFindings(page)).toEqual([]);
    await takePicture(page, 'order sheet');
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.waitFor({ state: 'hidden' });
    await card().getByText('For The school on the hill').waitFor();
    expect(await card().textContent()).toMatch(/^Order/);
    const { id } = await theOrder();
    await until('the plan has taken the order up', async () => (await plannedGrams(id)) > 0, 90_000);
    await card().getByText('2 of 2 jars to give').waitFor();
  });

  it.each(Object.entries(SCREENS))('is shown clean on a %s', async (name, viewport) => {
    await page.setViewportSize(viewport);
    await open('/runs', 'Bulk runs');
    await card().waitFor();
    await takePicture(page, `orders ${name}`);
    await expectClean(page);
  });

  it('is work of its day: so many jars for it, not substrate to spawn', async () => {
    await page.setViewportSize(SCREENS.desk);
    const { isoWeek, formatIsoWeek, calendarDay } = await import('@jarfold/domain');
    await open(`/?week=${formatIsoWeek(isoWeek(calendarDay(dayFromToday(2))))}`, 'This week');
    const job = page.locator('.job').filter({ hasText: NAME });
    await job.getByRole('heading', { name: `2 jars for ${NAME}` }).waitFor();
    expect(await job.textContent()).not.toContain('Spawn');
    await takePicture(page, 'order in its week');
    await expectClean(page);
  });

  it('an edit changes what is planned', async () => {
    await open('/runs', 'Bulk runs');
    const before = await plannedGrams((await theOrder()).id);
    await page.getByRole('button', { name: `Edit ${NAME}` }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Jars ordered').fill('3');
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.waitFor({ state: 'hidden' });
    const { id } = await theOrder();
    await until('the plan wants a jar more', async () => (await plannedGrams(id)) > before * 1.4, 90_000);
    await card().getByText('3 jars, ').waitFor();
  });
});

describe('at the bench', () => {
  it('whole jars are handed over, counted, and the order asks for the rest', async () => {
    await farm.call('POST', '/api/staff', { name: 'Ivo', role: 'hand', pin: PIN });
    const tablet = await openPage(browser, { viewport: SCREENS.tablet, hasTouch: true });
    const bench = tablet.page;
    await enrolTablet(bench, served.address, farm, 'Bench');
    await comeIn(bench, 'Ivo', PIN);
    await bench.getByRole('button', { name: 'Hand over jars', exact: true }).click();
    await bench.getByRole('heading', { level: 1, name: 'Hand over jars' }).waitFor();
    await bench.getByText('Hand over these 3 jars').waitFor();
    await bench.locator('.proposal .jar-tile').first().click();
    await takePicture(bench, 'bench hand over');
    expect(await axeFindings(bench)).toEqual([]);
    expect(await smallOnes(bench)).toEqual([]);
    expect(await smallType(bench)).toEqual([]);
    await bench.getByRole('button', { name: `Hand over 1 jar for ${NAME}` }).click();
    await bench
      .locator('.last-words')
      .getByText(/^Saved at/)
      .waitFor();
    await bench.getByText('Hand over these 2 jars').waitFor();
    await until('the farm has counted it', async () => (await theOrder()).handedOver === 1, 60_000);
    await bench.goto(`${served.address}/bench/harvest`);
    await bench.getByRole('heading', { level: 1 }).waitFor();
    expect(await bench.getByRole('main').textContent()).not.toContain(NAME);
    await tablet.close();
  });

  it('done and back to planned by a tap at the desk', async () => {
    await open('/runs', 'Bulk runs');
    await card().getByText('1 of 3 jars handed over.').waitFor();
    await page.getByRole('button', { name: `Mark as done: ${NAME}` }).click();
    await card().waitFor({ state: 'hidden' });
    expect((await theOrder()).state).toBe('done');
    await page.getByRole('checkbox', { name: 'Show done and cancelled runs' }).check();
    await page.getByRole('button', { name: `Back to planned: ${NAME}` }).click();
    await page.getByRole('button', { name: `Cancel order ${NAME}` }).waitFor();
    expect((await theOrder()).state).toBe('planned');
  });

  it('the browser complained of nothing', () => {
    expect(desk.complaints).toEqual([]);
  });
});
