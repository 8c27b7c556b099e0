import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { until } from '../support/until.js';
import { axeFindings, expectClean, hiddenFocus, sidewaysScroll, smallTargets } from './support/accessibility.js';
import { comeIn, enrolTablet, typePin } from './support/bench-person.js';
import { smallOnes, smallType } from './support/bench-targets.js';
import { launchChromium, type OpenPage, openPage, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { type Gate, openGate } from './support/gate.js';
import { openOwnersPage, signIn } from './support/people.js';
import { takePicture } from './support/pictures.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';
import { everythingStored } from './support/storage-scan.js';

jest.setTimeout(180_000);

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
async function useGrams({ page }: Pick<OpenPage, 'page'>, grams: number): Promise<string> {
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
    expect(words).toMatch(/Recorded first.*Ivo, on Bench left.*gave 500\sg/s);
    expect(words).toMatch(/Refused.*Runa, on Bench right.*was to give 500\sg/s);
    expect(words).toMatch(new RegExp(`In the jar now${code}\\d+\\sg left`));
  });

  it('the desk’s screen of it is clean at every size', async () => {
    await desk.page.waitForFunction(() => !document.querySelector('.waiting'));
    for (const [name, size] of Object.entries(SCREENS)) {
      await desk.page.setViewportSize(size);
      await takePicture(desk.page, `conflict ${name}`);
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
    expect(await conflict(desk.page).getByRole('button').allTextContents()).toEqual(['Undo this settlement']);
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

  it('one more tap undoes it: it waits again, to be settled another way, as often as it takes', async () => {
    await takePicture(desk.page, 'conflict settled');
    await conflict(desk.page).getByRole('button', { name: 'Undo this settlement' }).click();
    await conflict(desk.page)
      .getByText(/^Taken back\./)
      .waitFor();
    const takeLeft = conflict(desk.page).getByRole('button', { name: /^It took the \d+ g that were left/ });
    await takeLeft.waitFor();
    expect(await axeFindings(desk.page)).toEqual([]);
    await conflict(desk.page)
      .getByRole('button', { name: /^Leave it out/ })
      .click();
    await conflict(desk.page)
      .getByText(/^Settled\./)
      .waitFor();
    const { items } = (await farm.call('GET', `/api/stock/jars?code=${encodeURIComponent(code)}`)) as {
      items: { gramsLeft: number }[];
    };
    expect(items.map(({ gramsLeft }) => gramsLeft > 0)).toEqual([true]);
    await conflict(desk.page).getByRole('button', { name: 'Undo this settlement' }).click();
    await conflict(desk.page)
      .getByText(/^Taken back\./)
      .waitFor();
    await takeLeft.click();
    await conflict(desk.page)
      .getByText(/^Settled\./)
      .waitFor();
    expect(await farm.call('GET', `/api/stock/jars?code=${encodeURIComponent(code)}`)).toMatchObject({ items: [] });
  });

  it('also days later: what was settled stands on the screen of the watch, to be undone there', async () => {
    const { page } = desk;
    await conflict(page).getByRole('link', { name: 'Entries settled in the last seven days' }).click();
    const settled = page.getByRole('region', { name: 'Entries settled in the last seven days' });
    await settled.getByText(/^It took what was left\. Settled by Mara/).waitFor();
    expect((await settled.getByRole('listitem').textContent()) ?? '').toContain('Runa, on Bench right');
    for (const [name, size] of Object.entries(SCREENS)) {
      await page.setViewportSize(size);
      await takePicture(page, `conflicts settled lately ${name}`);
      await expectClean(page);
    }
    await page.setViewportSize(SCREENS.desk);
    await settled.getByRole('button', { name: 'Undo this settlement' }).click();
    await settled.getByText(/^Taken back\./).waitFor();
    expect(await settled.getByRole('listitem').count()).toBe(0);
    await page.goto(served.address);
    await conflict(page)
      .getByRole('button', { name: /^It took the \d+ g that were left/ })
      .click();
    await conflict(page)
      .getByText(/^Settled\./)
      .waitFor();
  });

  it('the tablet no longer asks for a look', async () => {
    await right.page.getByRole('button', { name: '1 entry needs a look' }).click();
    await right.page.getByText('Nothing needs a look').waitFor();
    expect(await right.page.getByRole('button', { name: /needs a look/ }).count()).toBe(0);
  });
});

describe('what a person’s own device keeps', () => {
  /** Names of the farm that are in no program file; the scan has to find them first. */
  const PLANTED = ['Grey oyster', 'Shaggy mane', 'Straw house', 'Cold 1', 'Lower mill', 'OY1-26W'] as const;
  const NOTE = 'smells of rain on the third shelf';
  let own: OpenPage;
  let gate: Gate;
  let address: string;
  const found = async () => {
    const stored = await everythingStored(own.page);
    return [...PLANTED, NOTE, 'Mara'].filter((value) => stored.includes(value));
  };

  beforeAll(async () => {
    gate = await openGate(Number(new URL(served.address).port));
    address = `http://127.0.0.1:${gate.port}`;
    own = await openPage(browser, { viewport: SCREENS.desk, hasTouch: true });
    own.page.setDefaultTimeout(30_000);
    await signIn(own.page, address);
    await own.page.getByRole('heading', { level: 1, name: 'This week' }).waitFor();
    await own.page.goto(`${address}/bench`);
    await own.page.getByRole('button', { name: 'All sent' }).waitFor();
  });
  afterAll(async () => {
    await own?.close();
    await gate?.cut();
  });

  async function take(way: string, fill: () => Promise<void>, save: RegExp): Promise<void> {
    await own.page.getByRole('button', { name: 'Bench', exact: true }).click();
    await own.page.getByRole('button', { name: way, exact: true }).click();
    await fill();
    await own.page.getByRole('button', { name: save }).click();
    await own.page
      .locator('.last-words')
      .getByText(/^Saved at/)
      .waitFor();
  }

  it('signing out, also without a network, clears the farm’s copy and what was refused, and keeps work not sent yet', async () => {
    const { page } = own;
    expect(await found()).toEqual([...PLANTED, 'Mara']);
    await gate.cut();
    await drawAtTheDesk(await useGrams(own, 500), 500);
    await gate.mend();
    await page.getByRole('button', { name: '1 entry needs a look' }).waitFor();
    await gate.cut();
    await take('Note or photo', () => page.getByLabel('Note', { exact: true }).fill(NOTE), /^Save the note/);
    await page.getByRole('button', { name: /^Sign out/ }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { level: 1, name: 'Make this a tablet of the farm' }).waitFor();
    await until('the copy is cleared', async () => (await found()).length <= 1);
    expect(await found()).toEqual([NOTE]);
  });

  it('the work that was kept is sent by the next sign-in, and signing out at the desk then leaves nothing', async () => {
    const { page } = own;
    await gate.mend();
    await signIn(page, address);
    await page.getByRole('heading', { level: 1, name: 'This week' }).waitFor();
    await page.goto(`${address}/bench`);
    await page.getByRole('button', { name: 'All sent' }).waitFor();
    const { entries } = (await farm.call('GET', '/api/bench/entries?limit=1000')) as { entries: { kind: string }[] };
    expect(entries.filter(({ kind }) => kind === 'noted')).toHaveLength(1);
    await page.goto(`${address}/farm`);
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { level: 1, name: 'Sign in' }).waitFor();
    await until('the copy is cleared', async () => (await found()).length === 0);
  });
});

/** By another hand so many grams of the jar go into a run meanwhile. */
async function drawAtTheDesk(code: string, massG: number): Promise<void> {
  const { items } = (await farm.call('GET', `/api/stock/jars?code=${encodeURIComponent(code)}`)) as {
    items: { id: string }[];
  };
  const runs = (await farm.call('GET', '/api/runs')) as { items: { id: string }[] };
  const at = new Date().toISOString();
  const draws = items.map(({ id }) => ({ jarId: id, amount: { by: 'grams', massG } }));
  const entry = { id: randomUUID(), sequence: 1, happenedAt: at, kind: 'drawn_for_run' };
  const batch = { deviceId: randomUUID(), sentAt: at };
  await farm.call('POST', '/api/bench/entries', {
    ...batch,
    entries: [{ ...entry, payload: { runId: runs.items[0]?.id, draws } }],
  });
}

describe('the doors of a tablet, for gloves and eyes', () => {
  const clean = async (page: Page, name: string) => {
    await takePicture(page, name);
    expect([name, await axeFindings(page)]).toEqual([name, []]);
    expect([name, await smallOnes(page)]).toEqual([name, []]);
    expect([name, await smallType(page)]).toEqual([name, []]);
  };

  it('enrolling, naming oneself and the PIN are clean, also after a wrong one', async () => {
    const { page, close } = await openPage(browser, { viewport: SCREENS.desk, hasTouch: true });
    await page.goto(`${served.address}/bench`);
    await page.getByRole('heading', { level: 1, name: 'Make this a tablet of the farm' }).waitFor();
    await clean(page, 'door-enrol');
    await enrolTablet(page, served.address, farm, 'Bench window');
    await page.getByRole('button', { name: /^Ivo/ }).waitFor();
    await clean(page, 'door-names');
    await page.getByRole('button', { name: /^Ivo/ }).click();
    await clean(page, 'door-pin');
    await typePin(page, '111111');
    await page.getByText('That is not the PIN').waitFor();
    await clean(page, 'door-pin-wrong');
    expect(await hiddenFocus(page, 20)).toEqual([]);
    await page.setViewportSize(SCREENS.narrow);
    expect(await sidewaysScroll(page)).toBe(0);
    await close();
  });

  it('readings of a cycle, its end, filling and a weight are clean', async () => {
    const { page } = left;
    const sheet = page.getByRole('dialog').last();
    await page.getByRole('button', { name: 'Bench', exact: true }).click();
    await page.getByRole('button', { name: 'Prepare grain' }).click();
    await page.getByRole('button', { name: 'Begin by soaking' }).click();
    await page.getByRole('button', { name: 'Fill jars' }).click();
    await clean(page, 'sheet-fill');
    await sheet.getByRole('button', { name: /^Filled 12 jars/ }).click();
    await page.getByRole('button', { name: 'Start a steriliser cycle' }).click();
    await clean(page, 'sheet-load');
    await sheet.getByRole('button', { name: /^Start with 12 jars/ }).click();
    await page.getByRole('button', { name: 'Hold begins' }).click();
    await page.getByRole('button', { name: 'Log a reading' }).click();
    await sheet.getByRole('group', { name: 'Gauge pressure' }).getByRole('button', { name: '+1', exact: true }).click();
    await clean(page, 'sheet-reading');
    await sheet.getByRole('button', { name: 'Log a reading' }).click();
    await page.getByText('Last reading: 104 kPa').waitFor();
    await clean(page, 'prepare-held');
    await page.getByRole('button', { name: 'End the cycle' }).click();
    await clean(page, 'sheet-end');
    await sheet.getByRole('button', { name: 'The pressure was lost' }).click();
    await sheet.getByRole('button', { name: 'End the cycle' }).click();
    await page.getByRole('button', { name: 'Bench', exact: true }).click();
    await page.getByRole('button', { name: 'Check a shelf' }).click();
    await page.locator('.jar-tile').first().click();
    await sheet.getByRole('button', { name: /^Weigh it/ }).click();
    await clean(page, 'sheet-weigh');
    for (const digit of '512') await page.getByRole('button', { name: digit, exact: true }).click();
    await page.getByRole('button', { name: 'Take it' }).click();
    await page
      .locator('.last-words')
      .getByText(/^Saved at/)
      .waitFor();
    const payloads = async (kind: string) => {
      const { entries } = (await farm.call('GET', '/api/bench/entries?limit=1000')) as {
        entries: { kind: string; payload: Record<string, unknown> }[];
      };
      return entries.filter((entry) => entry.kind === kind).map(({ payload }) => payload);
    };
    const weighed = expect.objectContaining({ netG: 512 });
    await until('the weight reaches the log', async () => (await payloads('checked')).length > 1);
    expect((await payloads('checked')).at(-1)).toMatchObject({ jars: [weighed] });
    expect((await payloads('cycle_held')).at(-1)).toMatchObject({ gaugePressureKpa: 104 });
    expect((await payloads('cycle_ended')).at(-1)).toMatchObject({ boilLost: true });
  });

  it('nothing in the pages complained', () => {
    for (const { complaints } of [left, right, desk]) expect(complaints).toEqual([]);
  });
});
