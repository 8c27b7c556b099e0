/**
 * What the bench costs a tablet and its server: compressed script of the first load (from the build); and with
 * `--address` and an owner's sign-in, on a farm filled up to `--jars` jars, with other tablets syncing all the while:
 * the time from a touch lifted to the frame that shows "Saved" (a note; a jar of a full shelf checked "same again") and
 * interaction to next paint at 6x processor throttle, the cold start without the network at 4x, the sync of 1,000 queued
 * entries, and twenty tablets that sync at once.
 *
 *   node benchmarks/bench-tablet.mjs
 *   node benchmarks/bench-tablet.mjs --address http://localhost:3000 --email owner@demo.example --password … [--write]
 *   … --only tablet | --only syncs      one of the two parts: what a browser is timed at, what the service is
 *
 * It logs thousands of entries on that farm: give it a demo of its own, never a farm somebody works with.
 */
import { randomUUID } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { setTimeout as sleep } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { gzipSync } from 'node:zlib';
import { chromium } from 'playwright-core';
import { signedIn } from './signed-in.mjs';

const APP = join(import.meta.dirname, '..', 'apps', 'web', 'dist', 'app');
const RESULTS = join(import.meta.dirname, 'results', 'bench-tablet.json');
const TAPS = 40;
/** So many jars of the shelf are tapped in turn: those a hand reaches without scrolling far. */
const SHELF_JARS = 16;
const TABLETS = 20;
const FINGER_DOWN_MS = 60;
/** The tablets come back so many times; what is told is the median of these. */
const RETURNS = 5;
const JARS_PER_LOT = 500;
const { values } = parseArgs({
  options: {
    address: { type: 'string' },
    email: { type: 'string', default: '' },
    password: { type: 'string', default: '' },
    jars: { type: 'string', default: '10000' },
    only: { type: 'string' },
    write: { type: 'boolean', default: false },
  },
});
if (values.only && values.write) throw new Error('The results hold both parts: --write goes without --only.');

const load = () => Math.round((loadavg()[0] ?? 0) * 10) / 10;
const result = {
  takenOn: new Date().toISOString().slice(0, 10),
  processors: `${cpus().length} × ${cpus()[0]?.model.trim()}`,
  loadAverageBefore: load(),
  compressedScriptBytes: firstLoadBytes(),
};
if (values.address) Object.assign(result, await measureFarm(values.address));
result.loadAverageAfter = load();
console.log(JSON.stringify(result, null, 2));
if (values.write) writeFileSync(RESULTS, `${JSON.stringify(result, null, 2)}\n`);

/** The page's own script, the bench's, and everything these import at once. */
function firstLoadBytes() {
  const assets = join(APP, 'assets');
  const names = readdirSync(assets).filter((name) => name.endsWith('.js'));
  const start = [/^index-/, /^bench-/].map((pattern) => names.find((name) => pattern.test(name)));
  const needed = new Set();
  const take = (name) => {
    if (!name || needed.has(name)) return;
    needed.add(name);
    const text = readFileSync(join(assets, name), 'utf8');
    for (const [, next] of text.matchAll(/(?:from|import)\s*[`"']\.\/([^`"']+\.js)[`"']/g)) take(next);
  };
  start.forEach(take);
  return [...needed].reduce((sum, name) => sum + gzipSync(readFileSync(join(assets, name))).length, 0);
}

async function measureFarm(address) {
  const { call } = await signedIn(address, values);
  const jars = await fillUpTo(call, Number(values.jars));
  return {
    jars,
    ...(values.only === 'syncs' ? {} : await inBrowser(address, call)),
    ...(values.only === 'tablet' ? {} : await syncs(call)),
  };
}

async function send(call, entries, deviceId = randomUUID(), after = 0) {
  const at = new Date().toISOString();
  const numbered = entries.map((entry, index) => ({
    ...{ id: randomUUID(), sequence: after + index + 1, happenedAt: at },
    ...entry,
  }));
  return call('POST', '/api/bench/entries', { deviceId, sentAt: at, entries: numbered });
}

/** Received lots, until the farm has so many jars on hand. */
async function fillUpTo(call, wanted) {
  const { strains, sizes, shelves } = await call('GET', '/api/farm');
  const { things } = await call('GET', '/api/bench/snapshot');
  let jars = things.jar.rows.length;
  while (jars < wanted) {
    const payload = {
      ...{ lotId: randomUUID(), strainId: strains[0].id, sizeId: sizes.at(-1).id, generation: 1 },
      ...{ container: 'jar', carrier: 'grain' },
      jars: Array.from({ length: JARS_PER_LOT }, (_, at) => ({
        id: randomUUID(),
        serial: at + 1,
        place: { shelfId: shelves[at % shelves.length].id },
      })),
    };
    await send(call, [{ kind: 'received', payload }]);
    jars += JARS_PER_LOT;
  }
  return jars;
}

async function inBrowser(address, call) {
  const profile = mkdtempSync(join(tmpdir(), 'jarfold-bench-tablet-'));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: process.env.CHROMIUM_PATH ?? '/usr/bin/chromium',
    viewport: { width: 1280, height: 800 },
    hasTouch: true,
    args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
  });
  const others = { working: true };
  try {
    const page = context.pages()[0] ?? (await context.newPage());
    page.setDefaultTimeout(120_000);
    await page.goto(address);
    await page.getByLabel('E-mail').fill(values.email);
    await page.getByLabel('Password').fill(values.password);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('navigation').first().waitFor();
    await page.goto(`${address}/bench`);
    await page.locator('.ways').waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
    const devtools = await context.newCDPSession(page);
    const syncing = keepSyncing(call, others);
    const taps = await tapToSaved(page, devtools, address);
    others.working = false;
    await syncing;
    return { ...taps, ...(await coldStart(page, devtools, context, address)) };
  } finally {
    others.working = false;
    await context.close();
    rmSync(profile, { recursive: true, force: true });
  }
}

/** What other tablets log meanwhile, for this one to pull. */
async function keepSyncing(call, others) {
  while (others.working) {
    await send(call, [{ kind: 'noted', payload: { text: 'by another tablet' } }]);
    await sleep(250);
  }
}

async function tapToSaved(page, devtools, address) {
  await page.goto(`${address}/bench/note`);
  const note = page.getByLabel('Note', { exact: true });
  await note.waitFor();
  await watchTaps(page);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 6 });
  const notes = await timeTaps(page, devtools, async (tap) => {
    await note.fill(`measured ${tap}`);
    return page.locator('.save-bar__save');
  });
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 1 });
  const interactions = await page.evaluate(() => window.interactions);
  const jars = await shelfTaps(page, devtools, address);
  return {
    tapToSavedP50Ms: Math.round(quantile(notes, 0.5)),
    tapToSavedP95Ms: Math.round(quantile(notes, 0.95)),
    interactionToNextPaintP98Ms: interactions.length === 0 ? null : Math.round(quantile(interactions, 0.98)),
    jarsOnShelf: jars.onShelf,
    jarTapToSavedP50Ms: Math.round(quantile(jars.times, 0.5)),
    jarTapToSavedP95Ms: Math.round(quantile(jars.times, 0.95)),
  };
}

/** Walking a shelf: what was seen in one jar is said of the next ones with a tap each. */
async function shelfTaps(page, devtools, address) {
  await page.goto(`${address}/bench/check`);
  const jars = page.locator('.jar-tile');
  await jars.first().click();
  await page.getByRole('dialog').getByRole('button', { name: /75/ }).click();
  await page.getByRole('button', { name: 'Same again' }).click();
  await watchTaps(page);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 6 });
  const times = await timeTaps(page, devtools, (tap) => jars.nth(tap % SHELF_JARS));
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 1 });
  return { onShelf: await jars.count(), times };
}

/**
 * From the touch itself to the end of the frame with the words of this save: a message sent while a frame is prepared
 * comes when the page has drawn it. Each tap's words are new elements, also where they read as the ones before.
 */
function watchTaps(page) {
  return page.evaluate(() => {
    window.interactions = [];
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) if (entry.interactionId) window.interactions.push(entry.duration);
    }).observe({ type: 'event', durationThreshold: 16, buffered: false });
    document.addEventListener(
      'touchend',
      (event) => {
        window.tappedAt = event.timeStamp;
      },
      true,
    );
    const drawn = new MessageChannel();
    drawn.port1.onmessage = () => {
      window.saved(performance.now() - window.tappedAt);
    };
    new MutationObserver(() => requestAnimationFrame(() => drawn.port2.postMessage(null))).observe(
      document.querySelector('.last-words'),
      { childList: true },
    );
  });
}

/** Milliseconds of each of so many taps. @param ready prepares a tap and answers what is tapped */
async function timeTaps(page, devtools, ready) {
  const taken = [];
  for (let tap = 0; tap < TAPS; tap += 1) {
    const target = await ready(tap);
    await target.scrollIntoViewIfNeeded();
    const { x, y, width, height } = await target.boundingBox();
    // Nothing of the measuring runs in the page between the touch and the words: no polling, no look at what was hit.
    const drawn = page.evaluate(() => new Promise((resolve) => Object.assign(window, { saved: resolve })));
    await touch(devtools, x + width / 2, y + height / 2);
    taken.push(await drawn);
    await page.waitForTimeout(900);
  }
  return taken;
}

/** A finger comes down, stays as long as a tap takes, and is lifted: what is timed begins when it is. */
async function touch(devtools, x, y) {
  await devtools.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [{ x, y }] });
  await sleep(FINGER_DOWN_MS);
  await devtools.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
}

async function coldStart(page, devtools, context, address) {
  await page.getByRole('button', { name: 'All sent' }).waitFor();
  await context.setOffline(true);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 4 });
  const before = performance.now();
  await page.goto(`${address}/bench`);
  await page.locator('.ways').waitFor();
  return { coldOfflineStartMs: Math.round(performance.now() - before) };
}

/** A tablet back after a long day, and twenty that come back at the same moment with fifty entries each. */
async function syncs(call) {
  const notes = (count) =>
    Array.from({ length: count }, (_, at) => ({ kind: 'noted', payload: { text: `note ${at}` } }));
  const device = randomUUID();
  const before = performance.now();
  await send(call, notes(500), device);
  await send(call, notes(500), device, 500);
  const thousandMs = performance.now() - before;
  const returns = [];
  for (let at = 0; at < RETURNS; at += 1) returns.push(await comeBackAtOnce(call, notes));
  return {
    syncOfThousandEntriesMs: Math.round(thousandMs),
    twentyTabletsAtOnceP50Ms: Math.round(
      quantile(
        returns.map(({ p50Ms }) => p50Ms),
        0.5,
      ),
    ),
    twentyTabletsAtOnceP95Ms: Math.round(
      quantile(
        returns.map(({ p95Ms }) => p95Ms),
        0.5,
      ),
    ),
    twentyTabletsEntriesPerSecond: Math.round(
      quantile(
        returns.map(({ perSecond }) => perSecond),
        0.5,
      ),
    ),
  };
}

async function comeBackAtOnce(call, notes) {
  const before = performance.now();
  const answered = await Promise.all(
    Array.from({ length: TABLETS }, async () => {
      const own = randomUUID();
      const times = [];
      for (let batch = 0; batch < 5; batch += 1) {
        const started = performance.now();
        await send(call, notes(10), own, batch * 10);
        times.push(performance.now() - started);
      }
      return times;
    }),
  );
  const times = answered.flat();
  const perSecond = (times.length * 10 * 1000) / (performance.now() - before);
  return { p50Ms: quantile(times, 0.5), p95Ms: quantile(times, 0.95), perSecond };
}

function quantile(numbers, share) {
  const sorted = [...numbers].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];
}
