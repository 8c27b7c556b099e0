/** How hands meet the bench: fingers, gloves that rest, and one tablet open in two windows. */
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, CDPSession, Page } from 'playwright-core';
import { comeIn, enrolTablet } from './support/bench-person.js';
import { launchChromium, type OpenPage, openPage, SCREENS } from './support/chromium.js';
import { makeFixtureFarm } from './support/fixture-farm.js';
import { type Gate, openGate } from './support/gate.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

jest.setTimeout(120_000);

let served: ServedFarm;
let browser: Browser;
let gate: Gate;
let tablet: OpenPage;
let glass: CDPSession;

beforeAll(async () => {
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  const farm = await makeFixtureFarm(served);
  await farm.call('POST', '/api/staff', { name: 'Ivo', role: 'hand', pin: '402917' });
  gate = await openGate(Number(new URL(served.address).port));
  tablet = await openPage(browser, { viewport: SCREENS.desk, hasTouch: true });
  tablet.page.setDefaultTimeout(30_000);
  await enrolTablet(tablet.page, `http://127.0.0.1:${gate.port}`, farm, 'Bench');
  await comeIn(tablet.page, 'Ivo', '402917');
  glass = await tablet.page.context().newCDPSession(tablet.page);
}, 240_000);

afterAll(async () => {
  await browser?.close();
  await gate?.cut();
  await served?.close();
});

const toNotes = async (page: Page) => {
  await page.getByRole('button', { name: 'Note or photo' }).click();
  await page.getByLabel('Note', { exact: true }).waitFor();
};

describe('a target', () => {
  /** A button that is on or off: worked twice by one press it would be as before. */
  const about = () => tablet.page.getByRole('button', { name: 'It is about jars' });
  const isOn = async () => (await about().getAttribute('aria-pressed')) === 'true';

  /** Fingers come down on the middle of the button, stay, go so far aside, and are lifted. */
  async function finger({ stayMs = 60, asideBy = 0 }: { stayMs?: number; asideBy?: number } = {}): Promise<void> {
    const { x, y, width, height } = (await about().boundingBox())!;
    const at = (by: number) => [{ x: x + width / 2 + by, y: y + height / 2 }];
    await glass.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: at(0) });
    await tablet.page.waitForTimeout(stayMs);
    if (asideBy > 0) await glass.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: at(asideBy) });
    await glass.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    // A click that came after the touch would have come by now.
    await tablet.page.waitForTimeout(400);
  }

  beforeAll(() => toNotes(tablet.page));

  it('works once when a finger touches it, and shows no frame, also where a keyboard was used before', async () => {
    const before = await isOn();
    await tablet.page.keyboard.press('Tab');
    await finger();
    expect(await isOn()).toBe(!before);
    const focus = await about().evaluate((button) => [button.matches(':focus'), button.matches(':focus-visible')]);
    expect(focus).toEqual([true, false]);
  });

  it('works when a glove rests on it a while', async () => {
    const before = await isOn();
    await finger({ stayMs: 1_200 });
    expect(await isOn()).toBe(!before);
  });

  it('does nothing when the finger goes away over the glass', async () => {
    const before = await isOn();
    await finger({ asideBy: 60 });
    expect(await isOn()).toBe(before);
  });

  it('works once by mouse, and by the keyboard', async () => {
    const before = await isOn();
    await about().click();
    expect(await isOn()).toBe(!before);
    await about().press('Enter');
    expect(await isOn()).toBe(before);
    await about().press(' ');
    expect(await isOn()).toBe(!before);
  });
});

describe('one tablet in two windows', () => {
  /** Numbers and words of the notes this tablet keeps. */
  const notesKept = (page: Page) =>
    page.evaluate(async () => {
      const name = (await indexedDB.databases()).find((each) => each.name?.startsWith('jarfold-bench-'))!.name!;
      const db = await new Promise<IDBDatabase>((resolve) => {
        const opening = indexedDB.open(name);
        opening.onsuccess = () => resolve(opening.result);
      });
      const own = await new Promise<{ kind: string; sequence: number; payload: { text: string } }[]>((resolve) => {
        const reading = db.transaction('own').objectStore('own').getAll();
        reading.onsuccess = () => resolve(reading.result);
      });
      db.close();
      return own
        .filter(({ kind }) => kind === 'noted')
        .map(({ sequence, payload }) => ({ sequence, text: payload.text }))
        .sort((one, other) => one.sequence - other.sequence);
    });

  it('gives each entry a number of its own, also when neither window hears of the other', async () => {
    const first = tablet.page;
    const second = await first.context().newPage();
    // What one window tells the others of is not heard here: it learns of them from what is stored alone.
    await second.addInitScript(() => {
      window.BroadcastChannel = class extends EventTarget {
        postMessage() {}
        close() {}
      } as never;
    });
    await second.goto(`http://127.0.0.1:${gate.port}/bench`);
    await toNotes(second);
    await second.getByRole('button', { name: 'All sent' }).waitFor();
    await gate.cut();
    const words = ['from the first', 'from the second', 'from the first again', 'from the second again'];
    const write = (page: Page, text: string) => page.getByLabel('Note', { exact: true }).fill(text);
    const save = async (page: Page, text: string) => {
      await write(page, text);
      await page.getByRole('button', { name: 'Save the note' }).click();
      await page.getByLabel('Note', { exact: true }).and(page.locator(':text-is("")')).waitFor();
      // Two touches of one press are one: the next note is another press.
      await page.waitForTimeout(750);
    };
    for (const [at, text] of words.entries()) await save(at % 2 === 0 ? first : second, text);
    const kept = await notesKept(first);
    expect(kept.map(({ text }) => text)).toEqual(words);
    expect(kept.map(({ sequence }) => sequence - kept[0]!.sequence)).toEqual([0, 1, 2, 3]);
    await gate.mend();
    await second.close();
    await first.getByRole('button', { name: 'All sent' }).waitFor();
    expect(await first.getByRole('button', { name: /needs a look/i }).count()).toBe(0);
  });

  it('complained of nothing', () => {
    expect(tablet.complaints).toEqual([]);
  });
});
