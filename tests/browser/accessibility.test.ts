import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, BrowserContextOptions } from 'playwright-core';
import { axeFindings, expectClean, hiddenFocus, sidewaysScroll, smallTargets } from './support/accessibility.js';
import { launchChromium, type OpenPage, openPage, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { openOwnersPage, settled, signIn, walkTo } from './support/people.js';
import { takePicture } from './support/pictures.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

// A browser, a server and a planner share the machine's cores with whatever else runs on it.
jest.setTimeout(180_000);

/** WCAG 2.2 AA as far as a machine can tell: axe-core on every screen and state, and checks of our own beside it. */
const SETTING_UP_MS = 240_000;

interface Screen {
  readonly name: string;
  readonly path: string;
}

const FARM_SCREENS: readonly Screen[] = [
  { name: 'This week', path: '/' },
  { name: 'Plan', path: '/plan' },
  { name: 'Stock', path: '/stock' },
  { name: 'Bulk runs', path: '/runs' },
  { name: 'Rooms and shelves', path: '/rooms' },
  { name: 'Farm', path: '/farm' },
];

const WAYS_OF_SEEING: readonly (readonly [name: string, options: BrowserContextOptions])[] = [
  ['at a desk', { viewport: SCREENS.desk }],
  ['on an upright tablet, touched', { viewport: SCREENS.tablet, hasTouch: true }],
  ['320 px wide', { viewport: SCREENS.narrow }],
  ['at 200 % zoom', { viewport: { width: 640, height: 400 }, deviceScaleFactor: 2 }],
  ['in the dark', { viewport: SCREENS.desk, colorScheme: 'dark' }],
  ['in forced colours', { viewport: SCREENS.desk, forcedColors: 'active' }],
];

let served: ServedFarm;
let farm: FixtureFarm;
let browser: Browser;

beforeAll(async () => {
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  farm = await makeFixtureFarm(served);
}, SETTING_UP_MS);

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

const ownersPage = (options: BrowserContextOptions) => openOwnersPage(browser, { served, farm }, options);

/** One page for the tests of a group: each loads its screen anew, but the app's files come from the browser's cache. */
function pageFor(options: BrowserContextOptions): () => OpenPage {
  let opened: OpenPage;
  beforeAll(async () => {
    opened = await ownersPage(options);
  }, SETTING_UP_MS);
  afterAll(() => opened?.close());
  return () => opened;
}

describe.each(WAYS_OF_SEEING)('the farm’s screens %s', (way, options) => {
  const opened = pageFor(options);
  beforeAll(() => opened().page.goto(served.address));

  it.each(FARM_SCREENS)('$name is clean', async ({ name, path }) => {
    const { page, complaints } = opened();
    const before = complaints.length;
    await walkTo(page, path, name);
    await takePicture(page, `${name} ${way}`);
    await expectClean(page);
    expect(complaints.slice(before)).toEqual([]);
  });
});

describe('the keyboard', () => {
  const opened = pageFor({});

  it.each(FARM_SCREENS)('sees where it is everywhere on $name', async ({ path }) => {
    const { page } = opened();
    await page.goto(served.address + path);
    await settled(page);
    expect(await hiddenFocus(page)).toEqual([]);
  });
});

describe('sheets laid over a screen', () => {
  const SHEETS: readonly { readonly path: string; readonly button: string }[] = [
    { path: '/runs', button: 'Add a bulk run' },
    { path: '/runs', button: 'Cancel run Barn' },
    { path: '/rooms', button: 'Add a room' },
    { path: '/farm', button: 'Add a strain' },
    { path: '/farm', button: 'Edit Grey oyster' },
    { path: '/farm', button: 'Add a jar size' },
    { path: '/farm', button: 'Change password' },
  ];

  const opened = pageFor({ viewport: SCREENS.tablet, hasTouch: true });

  it.each(SHEETS)('$button is clean, empty and with its mistakes shown', async ({ path, button }) => {
    const { page } = opened();
    await page.goto(served.address + path);
    await settled(page);
    await page.getByRole('button', { name: button }).first().click();
    const sheet = page.getByRole('dialog');
    await sheet.getByRole('heading').first().waitFor();
    await page.waitForFunction(() => !document.querySelector('dialog .waiting'));
    expect(await axeFindings(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    if (!button.startsWith('Cancel') && !button.startsWith('Edit')) {
      await sheet.getByRole('button', { name: 'Save' }).click();
      await sheet.locator('.field__error').first().waitFor();
      expect(await axeFindings(page)).toEqual([]);
    }
    await takePicture(page, `sheet ${button}`);
  });

  it('staff, tablets and their sheets are clean on one page in turn, and nothing is wider than 320 px', async () => {
    await farm.call('POST', '/api/staff', { name: 'Ivo', role: 'hand', pin: '402917' });
    const { page } = opened();
    await page.goto(`${served.address}/people`);
    await settled(page);
    await page.getByText('Ivo').waitFor();
    const sheet = page.getByRole('dialog');
    const clean = async (name: string) => {
      await takePicture(page, name);
      expect([name, await axeFindings(page)]).toEqual([name, []]);
      expect([name, await smallTargets(page)]).toEqual([name, []]);
    };
    await clean('people');
    expect(await hiddenFocus(page)).toEqual([]);
    await page.getByRole('button', { name: 'Add a person' }).click();
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.locator('.field__error').first().waitFor();
    await clean('sheet person with its mistakes');
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Edit Ivo' }).click();
    await sheet.getByLabel('PIN').fill('111111');
    await sheet.getByRole('button', { name: 'Set the PIN' }).click();
    await sheet.locator('.field__error, .notice--alarm').first().waitFor();
    await clean('sheet PIN refused');
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Add a tablet' }).click();
    await sheet.getByLabel('Name of the tablet').fill('Bench left');
    await sheet.getByRole('button', { name: 'Make a code' }).click();
    await sheet.locator('.enrolment-code').waitFor();
    await clean('sheet enrolment code');
    await page.setViewportSize(SCREENS.narrow);
    expect(await sidewaysScroll(page)).toBe(0);
    await page.keyboard.press('Escape');
    expect(await sidewaysScroll(page)).toBe(0);
    await page.setViewportSize(SCREENS.tablet);
  });

  it('a jar is clean, and its label is two taps away', async () => {
    const { page } = opened();
    await page.goto(`${served.address}/rooms`);
    await settled(page);
    await page.locator(`[data-jar="${farm.incubating[8]}"]`).click();
    await page.getByText('Contamination found').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    await takePicture(page, 'sheet jar');
    // A browser without windows saves what one with windows opens: what both do is to ask for it as a page.
    const label = page.context().waitForEvent('request', (request) => request.isNavigationRequest());
    await page.getByRole('button', { name: 'Print its label' }).click();
    expect((await label).url()).toBe(`${served.address}/api/labels?jarIds=${farm.incubating[8]}`);
  });
});

describe('when something is in the way', () => {
  it('signing in is clean, before and after a wrong password', async () => {
    const { page, close } = await openPage(browser, { viewport: SCREENS.tablet });
    await page.goto(served.address);
    await settled(page);
    expect(await axeFindings(page)).toEqual([]);
    await signIn(page, served.address, 'not the password');
    await page.getByRole('alert').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    await takePicture(page, 'sign in refused');
    await close();
  });

  it('a device without a network says so, keeps what it shows, and recovers', async () => {
    const { page, close } = await ownersPage({});
    await page.goto(`${served.address}/stock`);
    await settled(page);
    await page.context().setOffline(true);
    await page.getByText('This device has no network').waitFor();
    expect(await page.getByRole('table').count()).toBeGreaterThan(0);
    await page.getByRole('navigation').getByRole('link', { name: 'Bulk runs' }).click();
    await page.getByRole('alert').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    await takePicture(page, 'offline');
    await page.context().setOffline(false);
    await page.getByText('This device has no network').waitFor({ state: 'hidden' });
    await page.getByRole('button', { name: 'Try again' }).first().click();
    await page.getByRole('heading', { level: 1, name: 'Bulk runs' }).waitFor();
    await close();
  });

  it('an answer the page cannot read is said as what happened, where and what to do', async () => {
    const { page, close } = await ownersPage({});
    await page.route('**/api/week*', (route) => route.fulfill({ status: 200, body: '{"week":"not one"}' }));
    await page.goto(served.address);
    const alert = page.getByRole('alert');
    await alert.waitFor();
    expect(await alert.textContent()).toMatch(/cannot read.*load it again.*GET \/api\/week/s);
    expect(await axeFindings(page)).toEqual([]);
    await close();
  });

  it('a fault of the server shows its correlation, and trying again helps once it is gone', async () => {
    const { page, close } = await ownersPage({});
    const problem = {
      type: '/problems/unavailable',
      title: 'The service cannot answer just now',
      status: 503,
      detail: 'The database did not answer.',
      instance: 'urn:uuid:7b1d0c2e-8d0b-4a53-9a44-0c56b0f0a001',
      code: 'unavailable',
      correlationId: '7b1d0c2e-8d0b-4a53-9a44-0c56b0f0a001',
    };
    await page.route('**/api/stock', (route) =>
      route.fulfill({ status: 503, contentType: 'application/problem+json', body: JSON.stringify(problem) }),
    );
    await page.goto(`${served.address}/stock`);
    const alert = page.getByRole('alert');
    await alert.waitFor();
    expect(await alert.textContent()).toMatch(/The database did not answer\..*7b1d0c2e-8d0b/s);
    expect(await axeFindings(page)).toEqual([]);
    await page.unroute('**/api/stock');
    await alert.getByRole('button', { name: 'Try again' }).click();
    await page.getByText(/jars on hand/).waitFor();
    await close();
  });

  it('a session that ended elsewhere asks to sign in and comes back to the same screen', async () => {
    const { page, close } = await openPage(browser, {});
    await signIn(page, served.address);
    await settled(page);
    await page.getByRole('navigation').getByRole('link', { name: 'Stock' }).click();
    await page.getByRole('heading', { level: 1, name: 'Stock' }).waitFor();
    // What the screen still asks for would be refused, and lead to the sign-in before the tap does.
    await settled(page);
    await page.context().clearCookies();
    await page.getByRole('navigation').getByRole('link', { name: 'Rooms and shelves' }).click();
    await page.getByRole('heading', { level: 1, name: 'Sign in' }).waitFor();
    expect(new URL(page.url()).pathname).toBe('/rooms');
    await close();
  });
});
