import { type CalendarDay, formatIsoWeek, isoWeek } from '@jarfold/domain';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { expectClean } from './support/accessibility.js';
import { launchChromium, type OpenPage, SCREENS } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { dayFromToday, openOwnersPage, openScreen } from './support/people.js';
import { takePicture } from './support/pictures.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

jest.setTimeout(180_000);

let served: ServedFarm;
let farm: FixtureFarm;
let browser: Browser;
let open: OpenPage;
let page: Page;

beforeAll(async () => {
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  farm = await makeFixtureFarm(served);
  await farm.call('POST', '/api/staff', { name: 'Ivo', role: 'hand' });
  open = await openOwnersPage(browser, { served, farm }, { viewport: SCREENS.tablet, hasTouch: true });
  page = open.page;
}, 240_000);

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

const goTo = (path: string, heading: string) => openScreen(page, `${served.address}${path}`, heading);

describe('people at the bench', () => {
  it('say minutes and days away, mistakes are told at their boxes, and the list says both', async () => {
    await goTo('/people', 'Staff and tablets');
    await page.getByRole('button', { name: 'Bench time of Ivo' }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Own bench minutes per bench day').fill('90');
    await sheet.getByRole('button', { name: 'Add days away' }).click();
    await sheet.getByLabel('First day away').fill(dayFromToday(9));
    await sheet.getByLabel('Last day away').fill(dayFromToday(7));
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.getByText('The last day lies before the first.').waitFor();
    await takePicture(page, 'sheet bench time with its mistake');
    await expectClean(page);
    await sheet.getByLabel('Last day away').fill(dayFromToday(11));
    await sheet.getByRole('button', { name: 'Save' }).click();
    await page.getByText('90 min a bench day').waitFor();
    await page.getByText('away from').waitFor();
    await takePicture(page, 'people with bench time');
    await expectClean(page);
  });

  it('are chosen by name in what if, and the answer stands beside the plan', async () => {
    await goTo('/plan', 'Plan');
    await page.getByRole('combobox', { name: 'What if' }).selectOption({ label: 'somebody is away' });
    await page.getByLabel('Who is away').selectOption({ label: 'Ivo (90 min a bench day)' });
    await page.getByLabel('Away from').fill(dayFromToday(0));
    await page.getByLabel('Away until').fill(dayFromToday(60));
    await page.getByRole('button', { name: 'Show side by side' }).click();
    await page.getByText('If so').first().waitFor();
    await expectClean(page);
    await takePicture(page, 'what if somebody is away');
  });
});

describe('the batch calculator', () => {
  it.each(Object.entries(SCREENS))(
    'keeps a gauge in both units and a volume of its own on a %s',
    async (name, viewport) => {
      await page.setViewportSize(viewport);
      await goTo('/preparation', 'Preparation');
      await page.getByText(/^\d+\skPa \(/).waitFor();
      await expectClean(page);
      await page.getByRole('button', { name: 'Add another size' }).click();
      await page.getByLabel('Jar size').first().selectOption({ label: 'another volume' });
      await page.getByLabel('Volume of size 1').fill('700');
      await takePicture(page, `preparation with another volume ${name}`);
      await expectClean(page);
    },
  );

  afterAll(() => page.setViewportSize(SCREENS.tablet));
});

describe('grain in stock', () => {
  it('is counted, fills the calculator, and says when to buy', async () => {
    await goTo('/preparation', 'Preparation');
    await page.getByText('rye: not counted yet').waitFor();
    await page.getByLabel('How much of it, as bought').fill('0,5');
    await page.getByRole('button', { name: 'So much is there now' }).click();
    await page.getByText('rye: 500 g on hand').waitFor();
    expect(await page.getByLabel('Grain on hand').inputValue()).toBe('0.5');
    await page.getByText('It is not enough for').waitFor();
    await page.getByLabel('How much of it, as bought').fill('0');
    await page.getByRole('button', { name: 'So much was bought' }).click();
    await page.getByText('Write how much was bought.').waitFor();
    await takePicture(page, 'grain in stock');
    await expectClean(page);
    await page.getByLabel('How much of it, as bought').fill('500');
    await page.getByRole('button', { name: 'So much was bought' }).click();
    await page.getByText('rye: 500.5 kg on hand').waitFor();
    await page.getByText('It is enough for all the plan prepares.').waitFor();
    expect(await page.getByLabel('Grain on hand').inputValue()).toBe('500.5');
  });

  it('stands beside the preparations of the week', async () => {
    await goTo(`/?week=${await weekWithPreparation()}`, 'This week');
    await page.getByText('rye: 500.5 kg on hand.').first().waitFor();
    await takePicture(page, 'week with grain in stock');
    await expectClean(page);
  });
});

/** The ISO week of the plan's first preparation. */
async function weekWithPreparation(): Promise<string> {
  const { newest } = (await farm.call('GET', '/api/plan')) as {
    newest: { plan: { preparations: readonly { day: CalendarDay }[] } };
  };
  const [first] = newest.plan.preparations.map(({ day }) => day).sort();
  if (first === undefined) throw new Error('The plan prepares nothing.');
  return formatIsoWeek(isoWeek(first));
}
