import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { until } from '../support/until.js';
import { expectClean } from './support/accessibility.js';
import { launchChromium, type OpenPage, openPage } from './support/chromium.js';
import { type FixtureFarm, makeFixtureFarm } from './support/fixture-farm.js';
import { dayFromToday, OWNER, signIn } from './support/people.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';

// A browser, a server and a planner share the machine's cores with whatever else runs on it.
jest.setTimeout(180_000);

const SETTING_UP_MS = 240_000;

let served: ServedFarm;
let farm: FixtureFarm;
let browser: Browser;
let open: OpenPage;
let page: Page;

beforeAll(async () => {
  [served, browser] = await Promise.all([serveFarm(), launchChromium()]);
  farm = await makeFixtureFarm(served);
  open = await openPage(browser);
  page = open.page;
  await signIn(page, served.address);
  await heading('This week');
}, SETTING_UP_MS);

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

const heading = (name: string) => page.getByRole('heading', { level: 1, name }).waitFor();

async function goTo(screen: string): Promise<void> {
  await page.getByRole('navigation').getByRole('link', { name: screen }).click();
  await heading(screen);
  await page.waitForFunction(() => !document.querySelector('.waiting'));
}

interface RunFacts {
  readonly id: string;
  readonly name: string;
  readonly revision: number;
  readonly targetGrams: number;
  readonly state: string;
}

async function runNamed(name: string): Promise<RunFacts> {
  const { items } = (await farm.call('GET', '/api/runs?state=all')) as { items: RunFacts[] };
  const found = items.find((run) => run.name === name);
  if (!found) throw new Error(`No run is called ${name}.`);
  return found;
}

/** The runs the newest plan knows. */
async function plannedRuns(): Promise<readonly string[]> {
  const { newest } = (await farm.call('GET', '/api/plan')) as { newest: { plan: { runs: { run: string }[] } } };
  return newest.plan.runs.map(({ run }) => run);
}

describe('this week', () => {
  it('names the run that cannot be covered, why, and where to change it', async () => {
    await goTo('This week');
    const shortage = page.getByRole('complementary').getByRole('listitem').filter({ hasText: 'Barn' }).first();
    expect(await shortage.textContent()).toMatch(/below its (minimum|target)/);
    await shortage.getByRole('link', { name: 'Where to change it' }).waitFor();
  });

  it('steps through the weeks and comes back', async () => {
    const week = page.locator('.week-name');
    const now = await week.textContent();
    await page.getByRole('button', { name: 'Week after' }).click();
    await until('the week changes', async () => (await week.textContent()) !== now, 60_000);
    await page.getByRole('button', { name: 'Back to this week' }).click();
    await until('this week is back', async () => (await week.textContent()) === now, 60_000);
  });

  it('a start names its mothers, its run and its last safe day, with the cautions of the step', async () => {
    await page.goto(`${served.address}/?week=${await weekOfFirstStart()}`);
    const start = page.getByRole('article').first();
    await start.waitFor();
    const words = await start.textContent();
    expect(words).toMatch(/From mothers/);
    expect(words).toMatch(/Last safe day\s*\w{3},? \d+ \w{3}/);
    const main = await page.getByRole('main').textContent();
    expect(main).toMatch(/Pressure vessel\..*rated pressure/s);
    expect(main).toMatch(/Alcohol and flame\./);
    expect(main).toMatch(/Local codes and licensed practice come first/);
  });
});

describe('the plan', () => {
  it('says of each unlikely run what limits it and what would lift it, which leads to where that is done', async () => {
    await goTo('Plan');
    const run = page
      .getByRole('main')
      .getByRole('listitem')
      .filter({ hasText: /^Barn on/ });
    expect(await run.first().textContent()).toMatch(/likely\./);
    const lift = run.first().getByRole('link');
    expect(await lift.textContent()).toMatch(
      /Move the run later|Add a bench day|Keep more ripe jars|Raise the run’s priority/,
    );
    expect(await lift.getAttribute('href')).toMatch(/^\/(runs|farm|stock|rooms)$/);
  });

  it('shows what is supposed beside what stands, and says when a lot is not there what to do', async () => {
    await goTo('Plan');
    const gettingReady = page.waitForResponse(
      (answer) => answer.url().endsWith('/api/plan/what-if') && answer.request().method() === 'GET',
    );
    await page.getByRole('combobox', { name: 'What if' }).focus();
    expect((await gettingReady).status()).toBe(200);
    await page.getByRole('combobox', { name: 'What if' }).selectOption({ label: 'the steriliser runs more often' });
    await page.getByRole('button', { name: 'Show side by side' }).click();
    await page.getByText('If so').first().waitFor();
    await page.getByRole('combobox', { name: 'What if' }).selectOption({ label: 'a lot is lost' });
    await page.getByLabel('Lot that is lost').fill('XX9-26W01-1');
    await page.getByRole('button', { name: 'Show side by side' }).click();
    await page.getByText(/Take the code of a lot that the Stock screen shows/).waitFor();
    await expectClean(page);
  });
});

async function weekOfFirstStart(): Promise<string> {
  const { newest } = (await farm.call('GET', '/api/plan')) as {
    newest: { plan: { starts: { benchDay: string }[] } };
  };
  const first = newest.plan.starts.map(({ benchDay }) => benchDay).sort()[0];
  if (!first) throw new Error('The fixture farm has no start in its plan.');
  const { isoWeek, formatIsoWeek, calendarDay } = await import('@jarfold/domain');
  return formatIsoWeek(isoWeek(calendarDay(first)));
}

describe('bulk runs', () => {
  it('a run that is added is planned for', async () => {
    await goTo('Bulk runs');
    await page.getByRole('button', { name: 'Add a bulk run' }).first().click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Day of the run').fill(dayFromToday(41));
    await sheet.getByLabel('Wet substrate').fill('90');
    await sheet.getByRole('checkbox', { name: /Grey oyster/ }).check();
    await sheet.getByText('More about this run').click();
    await sheet.getByLabel('Run name').fill('Old stable');
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.waitFor({ state: 'hidden' });
    const card = page.getByRole('listitem').filter({ hasText: 'Old stable' });
    await card.waitFor();
    const { id } = await runNamed('Old stable');
    await until('the plan knows the run', async () => (await plannedRuns()).includes(id), 60_000);
    await card.getByText(/Covered|Short/).waitFor();
  });

  it('an edit changes its target and the plan', async () => {
    const before = await runNamed('Old stable');
    await page.getByRole('button', { name: 'Edit Old stable' }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Wet substrate').fill('45');
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.waitFor({ state: 'hidden' });
    const after = await runNamed('Old stable');
    expect(after.targetGrams).toBeCloseTo(before.targetGrams / 2, 0);
    await page.getByRole('listitem').filter({ hasText: 'Old stable' }).getByText('45 kg wet').waitFor();
  });

  it('a mistake is told at its box and nothing is sent', async () => {
    const before = await runNamed('Old stable');
    await page.getByRole('button', { name: 'Edit Old stable' }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Wet substrate').fill('a lot');
    await sheet.getByRole('button', { name: 'Save' }).click();
    expect(await sheet.getByLabel('Wet substrate').getAttribute('aria-invalid')).toBe('true');
    expect((await runNamed('Old stable')).revision).toBe(before.revision);
    await page.keyboard.press('Escape');
    await sheet.waitFor({ state: 'hidden' });
  });

  it('an edit made on an older state is refused with what to do, and changes nothing', async () => {
    await page.getByRole('button', { name: 'Edit Old stable' }).click();
    const { id, revision } = await runNamed('Old stable');
    await farm.call('PATCH', `/api/runs/${id}`, { note: 'moved by someone else' }, revision);
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Wet substrate').fill('300');
    await sheet.getByRole('button', { name: 'Save' }).click();
    const alert = sheet.getByRole('alert');
    await alert.waitFor();
    expect(await alert.textContent()).toMatch(/PATCH \/api\/runs/);
    expect((await runNamed('Old stable')).targetGrams).toBeLessThan(5000);
    await sheet.getByRole('button', { name: 'Leave as it was' }).click();
    await page.reload();
    await heading('Bulk runs');
  });

  it('a cancelled run leaves the plan and stays on record with its reason', async () => {
    const { id } = await runNamed('Old stable');
    await page.getByRole('button', { name: 'Cancel run Old stable' }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Reason').fill('the straw was wet');
    await sheet.getByRole('button', { name: 'Cancel run' }).click();
    await sheet.waitFor({ state: 'hidden' });
    await page.getByRole('listitem').filter({ hasText: 'Old stable' }).waitFor({ state: 'hidden' });
    await until('the plan has forgotten the run', async () => !(await plannedRuns()).includes(id), 60_000);
    await page.getByRole('checkbox', { name: 'Show done and cancelled runs' }).check();
    const card = page.getByRole('listitem').filter({ hasText: 'Old stable' });
    await card.getByText('the straw was wet').waitFor();
    expect(await card.textContent()).toContain('Cancelled');
  });

  it('works by keyboard alone', async () => {
    await page.goto(`${served.address}/runs`);
    await heading('Bulk runs');
    await tabTo('Add a bulk run');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor();
    await tabTo('Day of the run');
    await page.keyboard.type(dayAsTyped(dayFromToday(48)));
    await tabTo('Wet substrate');
    await page.keyboard.type('30');
    await tabTo(/Grey oyster/);
    await page.keyboard.press('Space');
    await tabTo('Save');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor({ state: 'hidden' });
    await page.getByText('30 kg wet').waitFor();
  });
});

/** Presses Tab until the thing with that name has the focus. */
async function tabTo(name: string | RegExp): Promise<void> {
  for (let step = 0; step < 40; step += 1) {
    const focused = await page.evaluate(() => {
      const element = document.activeElement as HTMLInputElement | null;
      return element?.labels?.[0]?.textContent ?? element?.getAttribute('aria-label') ?? element?.textContent ?? '';
    });
    if (typeof name === 'string' ? focused.trim() === name : name.test(focused)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`The keyboard never reached ${name}.`);
}

/** A date box of a browser in British English takes day, month, year. */
const dayAsTyped = (day: string): string => `${day.slice(8, 10)}${day.slice(5, 7)}${day.slice(0, 4)}`;

describe('rooms and shelves', () => {
  const jar = (id: string) => page.locator(`[data-jar="${id}"]`);

  it('draws every jar on its shelf, white as high as it is colonised', async () => {
    await goTo('Rooms and shelves');
    const { rooms } = (await farm.call('GET', '/api/stock/rooms')) as {
      rooms: { shelves: { jars: unknown[] }[]; loose: unknown[] }[];
    };
    const known = rooms.flatMap(({ shelves, loose }) => [...shelves.flatMap(({ jars }) => jars), ...loose]).length;
    expect(known).toBeGreaterThan(25);
    expect(await page.locator('.jar-button').count()).toBe(known);
    const heights = await Promise.all(
      [0, 3, 7].map((at) => whiteHeight(jar(farm.incubating[at] ?? '').locator('.glass__mycelium'))),
    );
    expect(heights[0]).toBeLessThan(heights[1] ?? 0);
    expect(heights[1]).toBeLessThan(heights[2] ?? 0);
  });

  it('says in words what the drawing shows', async () => {
    const contaminated = jar(farm.incubating[8] ?? '');
    expect(await contaminated.getAttribute('aria-label')).toMatch(/^OY1 G2, OY1-.*row 3, place 9, Contaminated/);
    expect(await jar(farm.incubating[0] ?? '').getAttribute('aria-label')).toMatch(/Incubating, 2\d(\.\d)?\s% white/);
  });

  it('a tapped jar tells its story; Escape gives the focus back to it', async () => {
    const contaminated = jar(farm.incubating[8] ?? '');
    await contaminated.click();
    const sheet = page.getByRole('dialog');
    await sheet.getByText('Contamination found').waitFor();
    expect(await sheet.textContent()).toMatch(/Do not open a mouldy jar indoors/);
    await page.keyboard.press('Escape');
    await sheet.waitFor({ state: 'hidden' });
    expect(await contaminated.evaluate((element) => element === document.activeElement)).toBe(true);
  });

  it('a room and a shelf can be added and changed', async () => {
    await page.getByRole('button', { name: 'Add a room' }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Name').fill('Loft');
    await sheet.getByLabel('Temperature').fill('21,5');
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.waitFor({ state: 'hidden' });
    await page.getByText('21.5 °C').waitFor();
    await page.getByRole('button', { name: 'Add a shelf in Loft' }).click();
    await sheet.getByLabel('Name').fill('Loft left');
    await sheet.getByLabel('Rows').fill('2');
    await sheet.getByLabel('Places per row').fill('5');
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.waitFor({ state: 'hidden' });
    await page.getByRole('button', { name: 'Edit Loft left' }).click();
    await sheet.getByLabel('Rows').fill('3');
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.waitFor({ state: 'hidden' });
    await page.getByRole('region', { name: 'Loft left' }).getByText('0 of 15 places').waitFor();
  });
});

function whiteHeight(path: ReturnType<Page['locator']>): Promise<number> {
  return path.evaluate((element) => (element as SVGGraphicsElement).getBBox().height);
}

describe('stock', () => {
  it('counts what the log holds and shows it by age and by state', async () => {
    await goTo('Stock');
    const { totals, rows } = (await farm.call('GET', '/api/stock')) as {
      totals: { count: number };
      rows: { state: string; count: number }[];
    };
    await page.getByText(`${totals.count} jars on hand`).waitFor();
    expect(new Set(rows.map(({ state }) => state))).toEqual(
      new Set(['ripe', 'chilled', 'opened', 'incubating', 'contaminated']),
    );
    const table = page.getByRole('table', { name: 'On hand, counted' });
    expect(await table.getByRole('row').count()).toBe(rows.length + 1);
  });

  it('a chosen generation leaves the others out', async () => {
    await page.getByRole('button', { name: 'G2' }).click();
    const generations = page.getByRole('table', { name: 'On hand, counted' }).locator('tbody td:nth-child(2)');
    expect(new Set(await generations.allTextContents())).toEqual(new Set(['G2']));
    await page.getByRole('button', { name: 'All generations' }).click();
  });

  it('finds a jar by the beginning of its code', async () => {
    const list = page.getByRole('table', { name: 'Every jar' });
    await page.getByLabel('Jar code').fill('lm1');
    await list.getByText(/^OY1/).first().waitFor({ state: 'hidden' });
    expect(await list.getByRole('row').count()).toBe(5);
    await page.getByLabel('Jar code').fill('none such');
    await page.getByText('No jar fits what you asked for.').waitFor();
    await page.getByLabel('Jar code').fill('');
  });
});

describe('farm', () => {
  it('a strain’s value can be set and put back to the species’ published one', async () => {
    await goTo('Farm');
    const row = page.getByRole('row').filter({ hasText: 'Grey oyster' });
    const published = await row.getByRole('cell').nth(1).textContent();
    await setDaysToRipe('21');
    await row.getByRole('cell', { name: '21', exact: true }).waitFor();
    await setDaysToRipe('');
    await row.getByRole('cell', { name: published ?? '', exact: true }).waitFor();
  });

  async function setDaysToRipe(days: string): Promise<void> {
    await page.getByRole('button', { name: 'Edit Grey oyster' }).click();
    const sheet = page.getByRole('dialog');
    const box = sheet.getByLabel('Days to ripe');
    await box.fill(days);
    expect(await sheet.locator(`[id="${await box.getAttribute('aria-describedby')}"]`).textContent()).toMatch(
      /\d+ days \(.+\)/,
    );
    await sheet.getByRole('button', { name: 'Save' }).click();
    await sheet.waitFor({ state: 'hidden' });
  }

  it('the rhythm of the week can be changed', async () => {
    await page.getByLabel('Steriliser places', { exact: true }).fill('30');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Saved. The plan follows.').waitFor();
    const { settings } = (await farm.call('GET', '/api/farm')) as { settings: { rhythm: { vesselPlaces: number } } };
    expect(settings.rhythm.vesselPlaces).toBe(30);
  });

  it('closes the farm for some days, says a mistake at its box, and opens it again', async () => {
    const closed = async () =>
      ((await farm.call('GET', '/api/farm')) as { settings: { rhythm: { closedDays: string[] } } }).settings.rhythm
        .closedDays;
    const save = async () => {
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      await page.getByText('Saved. The plan follows.').waitFor();
    };
    await page.getByRole('button', { name: 'Add closed days' }).click();
    await page.getByText('Write the first day.').waitFor();
    await page.getByLabel('First closed day').fill('2026-12-24');
    await page.getByLabel('Last closed day').fill('2026-12-26');
    await page.getByRole('button', { name: 'Add closed days' }).click();
    const period = page.getByRole('button', { name: /^Remove .*24 Dec.* to .*26 Dec/ });
    await period.waitFor();
    await expectClean(page);
    await save();
    expect(await closed()).toEqual(['2026-12-24', '2026-12-25', '2026-12-26']);
    await period.click();
    await save();
    expect(await closed()).toEqual([]);
  });

  it('background work that failed is visible', async () => {
    await served.database.sql(
      `INSERT INTO failed_job (grower_id, id, job_name, payload, reason, attempts, failed_at)
       SELECT id, gen_random_uuid(), 'replan', '{}', 'The planner ran out of time.', 5, now() FROM grower`,
    );
    await page.reload();
    await page.getByText('The planner ran out of time.').waitFor();
  });

  it('the password can be changed', async () => {
    await page.getByRole('button', { name: 'Change password' }).click();
    const sheet = page.getByRole('dialog');
    await sheet.getByLabel('Password now').fill(OWNER.password);
    await sheet.getByLabel('New password').fill('short');
    await sheet.getByRole('button', { name: 'Save' }).click();
    expect(await sheet.getByLabel('New password').getAttribute('aria-invalid')).toBe('true');
    await sheet.getByLabel('New password').fill('a dry cellar in october');
    await sheet.getByRole('button', { name: 'Save' }).click();
    await page.getByText('The password was changed.').waitFor();
  });
});

describe('throughout', () => {
  it('the browser had nothing to complain about, the content security policy included', () => {
    expect(open.complaints).toEqual([]);
  });
});
