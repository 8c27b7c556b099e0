import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import { localTls } from '../../apps/launcher/src/local-authority.js';
import { until } from '../support/until.js';
import { axeFindings, hiddenFocus, sidewaysScroll } from './support/accessibility.js';
import { smallOnes, smallType } from './support/bench-targets.js';
import { SCREENS } from './support/chromium.js';
import { backToFirstStore, farmOnDisk } from './support/farm-on-disk.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { type Gate, openGate } from './support/gate.js';
import { takePicture } from './support/pictures.js';
import { type ServedFarm, serveFarm, serveMore } from './support/served-farm.js';
import { FARM_NAME, openTablet, type Tablet } from './support/tablet.js';

jest.setTimeout(240_000);

const PIN = '402917';

const BENCH_SCREENS = [
  '/bench',
  '/bench/check',
  '/bench/make/inoculate',
  '/bench/make/receive',
  '/bench/use',
  '/bench/act/chill',
  '/bench/act/find',
  '/bench/prepare',
  '/bench/harvest',
  '/bench/note',
  '/bench/look',
  '/bench/tablet',
] as const;

/** Built of the same parts as the ones above, so each is looked at once. */
const OTHER_ACTIONS = [
  ...['/bench/make/blanks', '/bench/make/culture', '/bench/act/shake', '/bench/act/move', '/bench/act/warm'],
  ...['/bench/act/keep', '/bench/act/release', '/bench/act/discard', '/bench/act/empty', '/bench/act/break'],
  '/bench/act/regrow',
];

let folder: string;
let served: ServedFarm;
let secure: Awaited<ReturnType<typeof serveMore>>;
let farm: FixtureFarm;
let gate: Gate;
let certificate: string;
let tablet: Tablet;
let page: Page;
let origin: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jarfold-tablet-'));
  served = await serveFarm();
  farm = await makeFixtureFarm(served);
  const tls = await localTls(join(folder, 'tls'), [FARM_NAME], Date.now());
  certificate = await readFile(tls.certPath, 'utf8');
  secure = await serveMore(served, { JARFOLD_TLS_CERT: tls.certPath, JARFOLD_TLS_KEY: tls.keyPath });
  gate = await openGate(Number(new URL(secure.address).port));
  origin = `https://${FARM_NAME}:${gate.port}`;
  await open();
}, 240_000);

afterAll(async () => {
  await tablet?.context.close();
  await gate?.cut();
  await secure?.close();
  await served?.close();
  await rm(folder, { recursive: true, force: true });
});

let signedInAtMs = 0;

async function open(): Promise<void> {
  tablet = await openTablet(join(folder, 'profile'), certificate);
  page = tablet.page;
}

async function goTo(path: string): Promise<void> {
  await page.goto(origin + path);
  await page.getByRole('heading', { level: 1 }).waitFor();
  await page.waitForFunction(() => !document.querySelector('.waiting'));
}

const saved = () => page.locator('.last-words').getByText(/^Saved at/);

interface LogEntry {
  readonly id: string;
  readonly kind: string;
  readonly outcome: string;
}

/** The farm's log by the public API. */
async function log(): Promise<readonly LogEntry[]> {
  const { entries } = (await farm.call('GET', '/api/bench/entries?limit=1000')) as { entries: LogEntry[] };
  return entries;
}

const countOf = async (kind: string) => (await log()).filter((entry) => entry.kind === kind).length;

describe('a shared tablet', () => {
  it('becomes the farm’s by a one-time code, over TLS on a name that is not localhost', async () => {
    await farm.call('POST', '/api/staff', { name: 'Ivo', role: 'hand', pin: PIN });
    const { code } = (await farm.call('POST', '/api/devices/enrolments', { name: 'Bench left' })) as { code: string };
    await page.goto(`${origin}/bench`);
    await page.getByLabel('Code from the desk').fill(code);
    await page.getByRole('button', { name: 'Enrol' }).click();
    await page.getByRole('button', { name: /^Ivo/ }).click();
  });

  it('says no to a wrong PIN and lets the right one in', async () => {
    for (const digit of '000000') await page.getByRole('button', { name: digit, exact: true }).click();
    await page.getByText('That is not the PIN').waitFor();
    for (const digit of PIN) await page.getByRole('button', { name: digit, exact: true }).click();
    await page.getByRole('heading', { level: 1, name: 'Bench' }).waitFor();
    signedInAtMs = Date.now();
  });

  it('can be put on the home screen', async () => {
    const devtools = await tablet.context.newCDPSession(page);
    const { installabilityErrors } = await devtools.send('Page.getInstallabilityErrors');
    expect(installabilityErrors.filter(({ errorId }) => errorId !== 'in-incognito')).toEqual([]);
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  });
});

describe('work by tapping', () => {
  it('a jar is checked in three taps, and the next ones in one each', async () => {
    await goTo('/bench/check');
    const incubating = page.locator('.jar-tile[aria-label*="Incubating"]');
    const looked = (await countOf('checked')) + 2;
    await incubating.nth(0).click();
    await page.getByRole('dialog').getByRole('button', { name: '75 % white' }).click();
    await saved().waitFor();
    await page.getByRole('button', { name: 'Same again' }).click();
    await incubating.nth(1).click();
    await until('both checks reach the log', async () => (await countOf('checked')) === looked);
  });

  it('a lot is inoculated from a proposed mother, and its jars stand on the shelf at once', async () => {
    await goTo('/bench/make/inoculate');
    await page
      .getByRole('button', { name: /^OY/ })
      .first()
      .click()
      .catch(() => undefined);
    await page.locator('.proposal .jar-tile').first().click();
    await page.getByRole('button', { name: /^Inoculate 12 jars/ }).click();
    await saved().waitFor();
    await until('the lot reaches the log', async () => (await countOf('inoculated')) === 2);
    const print = page.getByRole('link', { name: 'Print the lot’s labels' });
    expect(await print.getAttribute('href')).toMatch(/^\/api\/labels\?lotId=[0-9a-f-]{36}$/);
  });

  it('the last entry is undone by one tap, and brought back by another', async () => {
    const before = await countOf('corrected');
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText(/^Taken back/).waitFor();
    await page.getByRole('button', { name: 'Bring back' }).click();
    await saved().waitFor();
    await until('both corrections reach the log', async () => (await countOf('corrected')) === before + 2);
    const refused = (await log()).filter(({ outcome }) => outcome === 'refused');
    expect(refused).toEqual([]);
  });

  it('a run takes the jars that expire first, and the tablet says why', async () => {
    await goTo('/bench/use');
    await page
      .getByText(/good days? left|last good day/)
      .first()
      .waitFor();
    await page.getByRole('button', { name: 'Take these' }).click();
    await page.getByRole('button', { name: /^Use \d+ jars? in/ }).click();
    await saved().waitFor();
    await until('the draws reach the log', async () => (await countOf('drawn_for_run')) === 1);
  });

  it('a scanner that acts as a keyboard brings up its jar, whatever has the focus', async () => {
    const code = await page.evaluate(() => document.querySelector<HTMLElement>('[data-jar]')?.dataset.jar);
    await goTo('/bench');
    // As fast as a scanner types, whatever else the machine is doing.
    await page.evaluate((keys) => {
      for (const key of [...keys, 'Enter'])
        document.body.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
    }, code ?? '');
    await page
      .getByRole('dialog')
      .getByText(code ?? '')
      .waitFor();
    await page.keyboard.press('Escape');
  });

  it('two touches of one press save one entry', async () => {
    await goTo('/bench/note');
    await page.getByLabel('Note', { exact: true }).fill('drops on the lid');
    const before = await countOf('noted');
    await page.getByRole('button', { name: 'Save the note' }).dblclick({ delay: 5 });
    await saved().waitFor();
    await until('the note reaches the log', async () => (await countOf('noted')) > before);
    expect(await countOf('noted')).toBe(before + 1);
  });
});

describe('without the server', () => {
  it('work saved just before the battery is pulled is there at the next start, and reaches the log once', async () => {
    const before = await countOf('shaken');
    await goTo('/bench/act/shake');
    await gate.cut();
    await page.locator('.sources .big').first().click();
    await page.locator('.jar-tile').first().click();
    await page.getByRole('button', { name: /^Shook 1 jar/ }).click();
    await saved().waitFor();
    // Chromium writes cookies to disk every half minute: a tablet killed sooner is asked to sign in or enrol again.
    const onDiskAtMs = signedInAtMs + 35_000;
    await until('the cookies are on disk', () => Date.now() > onDiskAtMs, 60_000);
    await tablet.kill();
    await open();
    await goTo('/bench');
    await page.getByRole('button', { name: /1 unsent/ }).waitFor();
    await gate.mend();
    await page.getByRole('button', { name: 'All sent' }).waitFor();
    expect(await countOf('shaken')).toBe(before + 1);
  });

  it('what the first version of the app has kept is read by this one, jars and own work alike', async () => {
    const { farm: named } = (await farm.call('GET', '/api/bench/facts')) as { farm: { growerId: string } };
    await page.goto(`${origin}/api/health`);
    const before = await farmOnDisk(page, named.growerId);
    await backToFirstStore(page, named.growerId);
    await gate.cut();
    await goTo('/bench/check');
    await page.locator('.jar-tile').first().waitFor();
    const after = await farmOnDisk(page, named.growerId);
    await gate.mend();
    await goTo('/bench');
    expect(before.things.length).toBeGreaterThan(10);
    const byId = ({ things }: typeof before) => new Map(things.map((thing) => [thing.state.id, thing]));
    expect(byId(after)).toEqual(byId(before));
    expect({ ...after, things: [] }).toEqual({ ...before, things: [] });
  });

  it('another person takes over by PIN, and is told when it is wrong', async () => {
    await gate.cut();
    await page.getByRole('button', { name: 'Change person' }).click();
    await page.getByRole('button', { name: /^Ivo/ }).click();
    for (const digit of '111111') await page.getByRole('button', { name: digit, exact: true }).click();
    await page.getByText('That is not the PIN').waitFor();
    for (const digit of PIN) await page.getByRole('button', { name: digit, exact: true }).click();
    await page.getByRole('heading', { level: 1, name: 'Bench' }).waitFor();
    await gate.mend();
  });

  it('nothing of the service is answered from a cache', async () => {
    const cached = await page.evaluate(async () => {
      const names = await caches.keys();
      const kept = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
      return kept.flat().map(({ url }) => new URL(url).pathname);
    });
    expect(cached.length).toBeGreaterThan(5);
    expect(cached.filter((path) => path.startsWith('/api'))).toEqual([]);
  });
});

describe('for gloves, eyes and keyboards', () => {
  beforeAll(async () => {
    await page.evaluate(() => fetch('/api/session'));
    await signInAgain();
  });

  it.each(BENCH_SCREENS)(
    '%s is clean on the declared tablet and narrower, dark, zoomed and in forced colours',
    async (path) => {
      await page.setViewportSize(SCREENS.desk);
      await goTo(path);
      await takePicture(page, `${path} lying`);
      expect(await axeFindings(page)).toEqual([]);
      expect(await smallOnes(page)).toEqual([]);
      expect(await smallType(page)).toEqual([]);
      expect(await hiddenFocus(page, 25)).toEqual([]);
      for (const [name, size] of [
        ['upright', SCREENS.tablet],
        ['narrow', SCREENS.narrow],
        ['zoomed', { width: 640, height: 400 }],
      ] as const) {
        await page.setViewportSize(size);
        await takePicture(page, `${path} ${name}`);
        expect([name, await sidewaysScroll(page)]).toEqual([name, 0]);
        if (name === 'upright') expect(await smallOnes(page)).toEqual([]);
      }
      await page.setViewportSize(SCREENS.tablet);
      for (const media of [{ forcedColors: 'active' }, { colorScheme: 'dark' }] as const) {
        await page.emulateMedia(media);
        expect(await axeFindings(page)).toEqual([]);
      }
      await page.emulateMedia({ forcedColors: null, colorScheme: null });
    },
  );

  it('every other action is clean once a jar is chosen, lying and 320 px wide', async () => {
    for (const path of OTHER_ACTIONS) {
      await page.setViewportSize(SCREENS.desk);
      await goTo(path);
      for (const next of ['.sources .big', '.jar-tile']) {
        const first = page.locator(next).first();
        if ((await first.count()) > 0) await first.click();
      }
      await takePicture(page, `${path} lying`);
      expect([path, await axeFindings(page)]).toEqual([path, []]);
      expect([path, await smallOnes(page)]).toEqual([path, []]);
      expect([path, await smallType(page)]).toEqual([path, []]);
      await page.setViewportSize(SCREENS.narrow);
      expect([path, await sidewaysScroll(page)]).toEqual([path, 0]);
    }
  });

  it('the sheets of a jar and of findings are clean', async () => {
    await page.emulateMedia({ forcedColors: null, colorScheme: null });
    await page.setViewportSize(SCREENS.desk);
    await goTo('/bench/check');
    await page.locator('.jar-tile').first().click();
    expect(await axeFindings(page)).toEqual([]);
    expect(await smallOnes(page)).toEqual([]);
    await page.getByRole('dialog').getByRole('button', { name: 'Contamination' }).click();
    await takePicture(page, 'findings sheet');
    expect(await axeFindings(page)).toEqual([]);
    expect(await smallOnes(page)).toEqual([]);
    await page.keyboard.press('Escape');
  });

  it('nothing in the page complained', () => expect(tablet.complaints).toEqual([]));
});

/** Back on the network a person named offline is asked for the PIN once more before anything is sent. */
async function signInAgain(): Promise<void> {
  await goTo('/bench');
  const again = page.getByRole('button', { name: /sign in to send/ });
  await again
    .or(page.getByRole('button', { name: 'All sent' }))
    .first()
    .waitFor();
  if (!(await again.isVisible())) return;
  await again.click();
  await page.getByRole('button', { name: /^Ivo/ }).click();
  for (const digit of PIN) await page.getByRole('button', { name: digit, exact: true }).click();
  await page.getByRole('heading', { level: 1, name: 'Bench' }).waitFor();
}
