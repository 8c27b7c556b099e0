import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { makeColleague, type World } from '../support/api-app.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';
import { until } from '../support/until.js';
import { axeFindings, sidewaysScroll, smallTargets } from './support/accessibility.js';
import { launchChromium, type OpenPage, openPage, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

// A browser, a server and a planner share the machine's cores with whatever else runs on it.
jest.setTimeout(180_000);

const SETTING_UP_MS = 300_000;
const DAY_MS = 86_400_000;

let served: ServedFarm;
let farm: FixtureFarm;
let browser: Browser;
let planted: PlantedFarm;
let hand: { readonly email: string; readonly password: string };
const cycleId = randomUUID();
let cycleCode = '';

/** Twelve lots of eight in as many weeks; of the first mother five of eight go bad, of the second one in two lots. */
const LOTS = Array.from({ length: 12 }, (_, i) => ({
  day: 7 * i,
  mother: i % 2,
  bad: i % 2 === 0 ? 5 : Number(i % 4 === 1),
}));

beforeAll(async () => {
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  farm = await makeFixtureFarm(served);
  const now = new Date();
  const start = new Date(now.getTime() - 110 * DAY_MS).toISOString().slice(0, 10);
  planted = await plantFarm(worldOf(farm), { now, start, mothers: 2, lots: LOTS });
  const { sizeId } = planted;
  await planted.log(planted.at(90), 'cycle_started', { cycleId, method: 'pressure', loads: [{ sizeId, count: 8 }] });
  await planted.log(planted.at(91), 'cycle_ended', { cycleId, holdMin: 60, gaugePressureKpa: 103.4 });
  cycleCode = ((await farm.call('GET', `/api/sterilising/cycle?cycleId=${cycleId}`)) as { code: string }).code;
  const session = (await farm.call('GET', '/api/session')) as { farm: { growerId: string } };
  hand = await makeColleague(served.database, { growerId: session.farm.growerId, canary: 'ivo' }, 'hand');
}, SETTING_UP_MS);

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

/** As much of a signed-in person as telling a history needs. */
function worldOf({ call }: FixtureFarm): World {
  const answered = async (method: string, url: string, body?: unknown) => {
    const told = await call(method, url, body);
    return { status: 200, headers: {}, body: told, text: JSON.stringify(told) };
  };
  return { call: answered } as unknown as World;
}

async function signedIn(cookie: string, options: BrowserContextOptions = {}): Promise<OpenPage> {
  const opened = await openPage(browser, options);
  const [name = '', value = ''] = cookie.split(/=(.*)/s);
  await opened.page.context().addCookies([{ name, value, url: served.address }]);
  return opened;
}

const owner = (options: BrowserContextOptions = {}) => signedIn(farm.cookie, options);

async function open(page: Page, path: string): Promise<void> {
  await page.goto(served.address + path);
  await page.getByRole('heading', { level: 1 }).waitFor();
  await page.waitForFunction(() => !document.querySelector('.waiting'));
}

const text = async (page: Page): Promise<string> => (await page.locator('main').textContent()) ?? '';

describe('rates', () => {
  it('show a picture first, then the same numbers with interval and n, and what explains them', async () => {
    const { page, close } = await owner();
    await open(page, '/rates/contamination');
    const bad = LOTS.reduce((sum, lot) => sum + lot.bad, 0);
    expect(await text(page)).toContain(`${bad} of `);
    await page.getByRole('img', { name: 'Contamination over time' }).waitFor();
    await page.getByRole('button', { name: 'Mother jar' }).click();
    await page.getByRole('img', { name: 'Contamination by Mother jar' }).waitFor();
    const worst = page
      .getByRole('region', { name: /Contamination by Mother jar/ })
      .locator('tbody tr')
      .first();
    expect(await worst.textContent()).toContain(planted.motherCodes[0]);
    expect(await worst.textContent()).toMatch(/\d % \(\d.* to \d.* %\)/);
    await close();
  });

  it('of people are shown to each of them and to the owner', async () => {
    const session = await fetch(`${served.address}/api/session`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ email: hand.email, password: hand.password }),
    });
    const theirs = await signedIn(session.headers.getSetCookie()[0]?.split(';')[0] ?? '');
    await open(theirs.page, '/rates/contamination');
    await theirs.page.getByRole('button', { name: 'Person' }).click();
    await theirs.page.getByText('The rates of others are shown to each of them and to the owner.').waitFor();
    expect(await text(theirs.page)).not.toContain('Mara');
    await theirs.close();
    const { page, close } = await owner();
    await open(page, '/rates/contamination');
    await page.getByRole('button', { name: 'Person' }).click();
    await page.getByRole('row', { name: /Mara/ }).waitFor();
    await close();
  });

  it('say on the strain’s sheet what plans use now and where it comes from', async () => {
    const { page, close } = await owner();
    await open(page, '/rates');
    await page
      .getByRole('cell', { name: /^learned from \d+ jars$/ })
      .first()
      .waitFor();
    await open(page, '/farm');
    await page.getByRole('button', { name: 'Edit Grey oyster' }).click();
    await page.getByRole('dialog').getByRole('heading', { name: 'What plans use now' }).waitFor();
    await close();
  });
});

describe('a steriliser cycle', () => {
  it('takes a logger’s file, says what is wrong with a bad one, and draws a good one with its verdict', async () => {
    const { page, close } = await owner();
    await open(page, '/sterilising');
    await page.getByRole('link', { name: cycleCode }).click();
    await page.getByText('No temperature was measured in this load.').waitFor();
    await page.getByRole('button', { name: 'Attach a trace' }).click();
    const sheet = page.getByRole('dialog');
    const choose = (lines: string) =>
      sheet
        .getByLabel('Logger’s file')
        .setInputFiles({ name: 'probe.csv', mimeType: 'text/csv', buffer: Buffer.from(lines) });
    await choose('minute;°C\n0;20\n5;hot\n4;90');
    await sheet.getByText('Line 3').waitFor();
    const minutes = Array.from({ length: 30 }, (_, i) => `${3 * i};${i < 8 ? 68 + 23 * i : 250.5}`);
    await choose(['minute;°F', ...minutes].join('\n'));
    await sheet.getByText(/30 readings over 87 minutes/).waitFor();
    expect(await axeFindings(page)).toEqual([]);
    await sheet.getByRole('button', { name: 'Attach', exact: true }).click();
    await page.getByRole('img', { name: 'Temperature in the load' }).waitFor();
    expect(await text(page)).toMatch(/30 readings from probe\.csv, in °F, attached by Mara/);
    expect(await text(page)).toContain('As the method asks');
    await close();
  });
});

describe('the batch calculator', () => {
  it('works without a network, and its address says all it was asked', async () => {
    const { page, close } = await owner({ viewport: SCREENS.tablet });
    await open(page, '/preparation?jars=24&ml=1000&grain=wheat&rated=70');
    await page.context().setOffline(true);
    const amount = page.locator('.prep__amounts dd').first();
    const before = await amount.textContent();
    await page.getByLabel('Jars to fill').first().fill('48');
    await until('the grain doubles', async () => (await amount.textContent()) !== before, 20_000);
    const kilograms = (shown: string | null) => Number(/[\d.]+/.exec(shown ?? '')?.[0]);
    expect(kilograms(await amount.textContent()) / kilograms(before)).toBeCloseTo(2, 1);
    expect(page.url()).toMatch(/jars=48.*grain=wheat.*rated=70/);
    // A vessel rated for 70 kPa never gets to 121 °C: longer instead, and never above the rating.
    await page.getByText(/Never go above the rating/).waitFor();
    await page.getByLabel('Jars to fill').first().fill('4.5');
    await page.getByText('Whole jars only.').waitFor();
    await close();
  });
});

describe('a recall', () => {
  it('shows every relative of a jar where it stands, balanced, and as a workbook', async () => {
    const { page, close } = await owner();
    await open(page, '/recall');
    await page.getByLabel('Code of a jar or a lot').fill(planted.motherCodes[1]?.toLowerCase() ?? '');
    await page.getByRole('button', { name: 'Find relatives' }).click();
    await page
      .getByRole('button', { name: /^down 1, / })
      .first()
      .waitFor();
    await page.getByText('Every gram made is drawn, left or discarded.').waitFor();
    const href = await page.getByRole('link', { name: 'Download as a workbook' }).getAttribute('href');
    const file = await page.request.get(served.address + href);
    expect(file.headers()['content-type']).toContain('spreadsheetml');
    expect((await file.body()).subarray(0, 2).toString()).toBe('PK');
    await page
      .getByRole('button', { name: /^down 1, / })
      .first()
      .click();
    await page.getByRole('dialog').getByRole('link', { name: 'Find its relatives' }).click();
    await page.waitForURL(/jarId=/);
    await close();
  });
});

describe('flags of the watch', () => {
  it('stand above the week’s work with where, why and what to do, and lead to the jar', async () => {
    const flags = async () => ((await farm.call('GET', '/api/watch')) as { items: { kind: string }[] }).items;
    await until('the worker looks', async () => (await flags()).some(({ kind }) => kind === 'bad-mother'), 90_000);
    const { page, close } = await owner();
    await open(page, '/');
    const panel = page.getByRole('region', { name: 'To look at' });
    await panel.getByRole('heading', { name: /Bad mother/ }).waitFor();
    expect(await panel.textContent()).toContain('What to do:');
    await panel.getByRole('link', { name: planted.motherCodes[0] ?? '', exact: true }).click();
    await page.getByRole('heading', { level: 1, name: 'Recall' }).waitFor();
    await open(page, '/watch');
    await page.getByRole('heading', { name: 'Settled', exact: true }).waitFor();
    await close();
  });
});

describe('every one of these screens', () => {
  const SCREENS_HERE = [
    ...['/rates', '/rates/contamination', '/rates/growth', '/rates/ageing', '/rates/yield'],
    ...['/sterilising', '/preparation', '/watch'],
  ];
  const WAYS: readonly (readonly [string, BrowserContextOptions])[] = [
    ['at a desk in the dark', { viewport: SCREENS.desk, colorScheme: 'dark' }],
    ['320 px wide', { viewport: SCREENS.narrow, hasTouch: true }],
    ['in forced colours', { viewport: SCREENS.tablet, forcedColors: 'active' }],
  ];

  it.each(WAYS)('is clean %s', async (_way, options) => {
    const { page, close, complaints } = await owner(options);
    const paths = [...SCREENS_HERE, `/sterilising?cycle=${cycleCode}`, `/recall?jarId=${planted.motherIds[1]}`];
    for (const path of paths) {
      await open(page, path);
      expect({ path, findings: await axeFindings(page) }).toEqual({ path, findings: [] });
      expect({ path, sideways: await sidewaysScroll(page) }).toEqual({ path, sideways: 0 });
      expect({ path, small: await smallTargets(page) }).toEqual({ path, small: [] });
    }
    expect(complaints).toEqual([]);
    await close();
  });
});
