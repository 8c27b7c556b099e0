import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { axeFindings, hiddenFocus, sidewaysScroll, smallTargets } from './support/accessibility.js';
import { comeIn, enrolTablet } from './support/bench-person.js';
import { launchChromium, type OpenPage, openPage, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { type Gate, openGate } from './support/gate.js';
import { openOwnersPage } from './support/people.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

jest.setTimeout(180_000);

const PICTURES = fileURLToPath(new URL('../../tmp/screens/', import.meta.url));
const PINS = { Ivo: '402917', Runa: '581640' } as const;

/** A shared tablet with a wire of its own to the server, which can be cut. */
interface WiredTablet extends OpenPage {
  readonly gate: Gate;
}

let served: ServedFarm;
let farm: FixtureFarm;
let browser: Browser;
let left: WiredTablet;
let right: WiredTablet;
let desk: OpenPage;

beforeAll(async () => {
  mkdirSync(PICTURES, { recursive: true });
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  farm = await makeFixtureFarm(served);
  for (const [name, pin] of Object.entries(PINS)) await farm.call('POST', '/api/staff', { name, role: 'hand', pin });
  left = await openWired('Bench left', 'Ivo');
  right = await openWired('Bench right', 'Runa');
  desk = await openOwnersPage(browser, { served, farm }, { viewport: SCREENS.desk, hasTouch: true });
}, 240_000);

afterAll(async () => {
  await browser?.close();
  await Promise.all([left?.gate.cut(), right?.gate.cut()]);
  await served?.close();
});

async function openWired(name: string, person: keyof typeof PINS): Promise<WiredTablet> {
  const gate = await openGate(Number(new URL(served.address).port));
  const opened = await openPage(browser, { viewport: SCREENS.desk, hasTouch: true });
  opened.page.setDefaultTimeout(30_000);
  await enrolTablet(opened.page, `http://127.0.0.1:${gate.port}`, farm, name);
  await comeIn(opened.page, person, PINS[person]);
  return { ...opened, gate };
}

/** Logs that so many grams of the jar proposed first went into the run proposed first. Answers the jar's code. */
async function useGrams({ page }: WiredTablet, grams: number): Promise<string> {
  await page.getByRole('button', { name: 'Bench', exact: true }).click();
  await page.getByRole('button', { name: 'Use in a bulk run' }).click();
  await page.locator('.proposal .jar-tile').first().click();
  await page.getByRole('button', { name: 'Weighed grams' }).click();
  await page.getByRole('button', { name: /tap to type/ }).click();
  for (const digit of String(grams)) await page.getByRole('button', { name: digit, exact: true }).click();
  await page.getByRole('button', { name: 'Take it' }).click();
  const code = (await page.locator('.save-bar__what').textContent()) ?? '';
  await page.getByRole('button', { name: /^Use 1 jar in/ }).click();
  await page
    .locator('.last-words')
    .getByText(/^Saved at/)
    .waitFor();
  return code;
}

const conflict = (page: Page) => page.getByRole('region', { name: 'Needs a look' });

describe('two people, one jar', () => {
  let code: string;

  it('without a network both tablets save their draw', async () => {
    await Promise.all([left.gate.cut(), right.gate.cut()]);
    code = await useGrams(left, 500);
    expect(await useGrams(right, 500)).toBe(code);
    for (const { page } of [left, right]) await page.getByRole('button', { name: /1 unsent/ }).waitFor();
  });

  it('the one that comes in second is refused, and its tablet says so', async () => {
    await left.gate.mend();
    await left.page.getByRole('button', { name: 'All sent' }).waitFor();
    await right.gate.mend();
    await right.page.getByRole('button', { name: '1 entry needs a look' }).waitFor();
    expect(await left.page.getByRole('button', { name: /needs a look/ }).count()).toBe(0);
  });

  it('the desk shows both entries, who, when and what is left', async () => {
    await desk.page.goto(served.address);
    const words = (await conflict(desk.page).getByRole('listitem').first().textContent()) ?? '';
    expect(words).toMatch(/Recorded first.*Ivo, on Bench left.*gave 500 g/s);
    expect(words).toMatch(/Refused.*Runa, on Bench right.*was to give 500 g/s);
    expect(words).toMatch(new RegExp(`In the jar now${code}\\d+ g left`));
  });

  it('the desk’s screen of it is clean at every size', async () => {
    await desk.page.waitForFunction(() => !document.querySelector('.waiting'));
    for (const [name, size] of Object.entries(SCREENS)) {
      await desk.page.setViewportSize(size);
      await desk.page.screenshot({ path: `${PICTURES}conflict-${name}.png` });
      expect([name, await sidewaysScroll(desk.page)]).toEqual([name, 0]);
      expect(await smallTargets(desk.page)).toEqual([]);
    }
    expect(await axeFindings(desk.page)).toEqual([]);
    await desk.page.emulateMedia({ forcedColors: 'active' });
    expect(await hiddenFocus(desk.page, 20)).toEqual([]);
    await desk.page.emulateMedia({ forcedColors: null });
    await desk.page.setViewportSize(SCREENS.desk);
  });

  it('one tap settles it: the jar is empty, nothing is below zero, both entries and the settlement stand', async () => {
    await conflict(desk.page)
      .getByRole('button', { name: /^It took the \d+ g that were left/ })
      .click();
    await conflict(desk.page)
      .getByText(/^Settled\./)
      .waitFor();
    expect(await conflict(desk.page).getByRole('button').count()).toBe(0);
    const { entries } = (await farm.call('GET', '/api/bench/entries?limit=1000')) as {
      entries: { kind: string; outcome: string }[];
    };
    expect(entries.slice(-4).map(({ kind, outcome }) => `${kind} ${outcome}`)).toEqual([
      'drawn_for_run applied',
      'drawn_for_run refused',
      'drawn_for_run applied',
      'settled applied',
    ]);
    const { items } = (await farm.call('GET', `/api/stock/jars?code=${encodeURIComponent(code)}`)) as {
      items: { gramsLeft: number }[];
    };
    expect(items).toEqual([]);
  });

  it('the tablet no longer asks for a look', async () => {
    await right.page.getByRole('button', { name: '1 entry needs a look' }).click();
    await right.page.getByText('Nothing needs a look').waitFor();
    expect(await right.page.getByRole('button', { name: /needs a look/ }).count()).toBe(0);
  });
});
