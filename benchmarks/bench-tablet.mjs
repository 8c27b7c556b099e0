/**
 * What the bench costs a tablet: compressed script of the first load (from the build), and with `--address` and a
 * signed-in session the cold start without the network at 4x and the time from a tap to "Saved" at 6x processor throttle.
 *
 *   node benchmarks/bench-tablet.mjs
 *   node benchmarks/bench-tablet.mjs --address http://localhost:3000 --email owner@demo.example --password … [--json]
 *
 * The farm behind the address should be large (the demo, or one with 10,000 jars): it is what the tablet keeps.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { gzipSync } from 'node:zlib';
import { chromium } from 'playwright-core';

const APP = join(import.meta.dirname, '..', 'apps', 'web', 'dist', 'app');
const TAPS = 40;
const { values } = parseArgs({
  options: {
    address: { type: 'string' },
    email: { type: 'string' },
    password: { type: 'string' },
    json: { type: 'boolean', default: false },
  },
});

const result = { compressedScriptBytes: firstLoadBytes() };
if (values.address) Object.assign(result, await timings(values.address));
console.log(values.json ? JSON.stringify(result) : result);

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

async function timings(address) {
  const profile = mkdtempSync(join(tmpdir(), 'jarfold-bench-tablet-'));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: process.env.CHROMIUM_PATH ?? '/usr/bin/chromium',
    viewport: { width: 1280, height: 800 },
    args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
  });
  try {
    const page = context.pages()[0] ?? (await context.newPage());
    await page.goto(address);
    await page.getByLabel('E-mail').fill(values.email ?? '');
    await page.getByLabel('Password').fill(values.password ?? '');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('navigation').first().waitFor();
    await page.goto(`${address}/bench`);
    await page.locator('.ways').waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
    const devtools = await context.newCDPSession(page);
    return {
      ...(await tapToSavedMs(page, devtools, address)),
      ...(await coldStartMs(page, devtools, context, address)),
    };
  } finally {
    await context.close();
    rmSync(profile, { recursive: true, force: true });
  }
}

async function tapToSavedMs(page, devtools, address) {
  await page.goto(`${address}/bench/note`);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 6 });
  const taken = [];
  for (let tap = 0; tap < TAPS; tap += 1) {
    await page.getByLabel('Note', { exact: true }).fill(`measured ${tap}`);
    taken.push(
      await page.evaluate(
        () =>
          new Promise((resolve) => {
            const words = document.querySelector('.last-words');
            const before = performance.now();
            const watcher = new MutationObserver(() => {
              watcher.disconnect();
              resolve(performance.now() - before);
            });
            watcher.observe(words, { childList: true, subtree: true, characterData: true });
            document.querySelector('.save-bar__save').click();
          }),
      ),
    );
    await page.waitForTimeout(300);
  }
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 1 });
  const sorted = taken.sort((a, b) => a - b);
  return {
    tapToSavedP50Ms: Math.round(sorted[TAPS / 2]),
    tapToSavedP95Ms: Math.round(sorted[Math.floor(TAPS * 0.95)]),
  };
}

async function coldStartMs(page, devtools, context, address) {
  await context.setOffline(true);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 4 });
  const before = Date.now();
  await page.goto(`${address}/bench`);
  await page.locator('.ways').waitFor();
  return { coldOfflineStartMs: Date.now() - before };
}
