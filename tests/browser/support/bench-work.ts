import type { SeededRandom } from '@jarfold/domain';
import type { Locator } from 'playwright-core';
import type { KilledTablet } from './killed-tablet.js';

/** A step that finds nothing to tap is given up after so long: another tablet may have used the jars up. */
const TAP_MS = 10_000;

type Work = (tablet: KilledTablet) => Promise<void>;

const tap = (what: Locator) => what.click({ timeout: TAP_MS });

/** One of several, by the seed; the first where there is only one. */
async function oneOf(all: Locator, random: SeededRandom): Promise<Locator> {
  await all.first().waitFor({ timeout: TAP_MS });
  return all.nth(random.whole(await all.count()));
}

async function chooseJar({ page, options: { random } }: KilledTablet): Promise<void> {
  await tap(page.locator('.sources .big').first());
  await tap(await oneOf(page.locator('.picker .jar-tile'), random));
}

const onOneJar =
  (path: string, save: RegExp): Work =>
  async (tablet) => {
    await tablet.goTo(path);
    await chooseJar(tablet);
    await tap(tablet.page.getByRole('button', { name: save }));
  };

/** What somebody at the bench does, by how often. */
const WORK: readonly (readonly [number, Work])[] = [
  [2, onOneJar('/bench/act/shake', /^Shook 1 jar/)],
  [1, onOneJar('/bench/act/keep', /^Keep 1 mother/)],
  [
    2,
    async (tablet) => {
      const { page, options } = tablet;
      await tablet.goTo('/bench/note');
      await page.getByLabel('Note', { exact: true }).fill(`note ${options.random.whole(1_000_000)}`);
      await tap(page.getByRole('button', { name: 'Save the note' }));
    },
  ],
  [
    2,
    async (tablet) => {
      const { page } = tablet;
      await tablet.goTo('/bench/use');
      await tap(page.getByRole('button', { name: 'Take these' }));
      await tap(page.getByRole('button', { name: /^Use \d+ jars? in/ }));
    },
  ],
  [
    3,
    async (tablet) => {
      const { page, options } = tablet;
      await tablet.goTo('/bench/make/inoculate');
      await tap(await oneOf(page.locator('.proposal .jar-tile'), options.random));
      await tap(page.getByRole('button', { name: /^Inoculate \d+ jars?/ }));
    },
  ],
  [1, async ({ page }) => tap(page.getByRole('button', { name: 'Undo' }))],
];
const TOTAL = WORK.reduce((sum, [weight]) => sum + weight, 0);

/** Does one thing a person could do at the bench, to the word that it is saved. */
export async function someWork(tablet: KilledTablet): Promise<void> {
  let drawn = tablet.options.random.whole(TOTAL);
  for (const [weight, work] of WORK) {
    if (drawn < weight) {
      const before = tablet.attempted.length;
      await work(tablet);
      return tablet.toldMoreThan(before, TAP_MS);
    }
    drawn -= weight;
  }
}
