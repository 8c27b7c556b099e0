import { readFile, writeFile } from 'node:fs/promises';
import { type PlanJson, planJsonSchema } from '@jarfold/contracts';
import { calendarDay } from '@jarfold/domain';
import { exampleFarm, exampleKitchen, type FarmRows, readFarmWorkbook, writeFarmWorkbook } from '@jarfold/workbook';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { planCommand, run, temporaryFolder } from '../support/plan-command.js';

const DAY = '2026-11-25';

let folder: Awaited<ReturnType<typeof temporaryFolder>>;
let farm: string;
let kitchen: string;

beforeAll(async () => {
  folder = await temporaryFolder();
  farm = folder.path('farm.xlsx');
  kitchen = folder.path('kitchen.xlsx');
  await planCommand(['--example', farm, '--as-of', DAY]);
  await planCommand(['--example-small', kitchen, '--as-of', DAY]);
});

afterAll(() => folder.remove());

/** Planning the example farm takes seconds, and more where other tests run beside it. */
jest.setTimeout(180_000);

async function planned(args: readonly string[]): Promise<PlanJson> {
  const { code, output, errors } = await planCommand([...args, '--json']);
  expect({ code, errors }).toEqual({ code: 0, errors: '' });
  return planJsonSchema.loose().parse(JSON.parse(output)) as PlanJson;
}

async function broken(name: string, change: (rows: FarmRows) => FarmRows): Promise<string> {
  const file = folder.path(name);
  await writeFile(file, await writeFarmWorkbook(change(exampleKitchen(calendarDay(DAY)))));
  return file;
}

describe('the plan command', () => {
  it('plans the example farm in words, no line wider than 100 characters', async () => {
    const { code, output, errors } = await planCommand([farm, '--as-of', DAY]);
    expect({ code, errors }).toEqual({ code: 0, errors: '' });
    expect(output).toContain('Spawn work from Wed 25 Nov 2026 to Tue 1 Dec 2026');
    expect(output).toMatch(/^Wed 25 Nov {2}\w+/m);
    expect(output).toMatch(/\d+ of 23 runs reach their target/);
    expect(output.split('\n').filter((line) => [...line].length > 100)).toEqual([]);
  });

  it("fits a kitchen's plan on one screen of 40 lines", async () => {
    const { code, output } = await planCommand([kitchen, '--as-of', DAY]);
    expect(code).toBe(0);
    expect(output.split('\n').length).toBeLessThanOrEqual(40);
  });

  it('plans an example of today without being told the day', async () => {
    const file = folder.path('today.xlsx');
    expect((await planCommand(['--example-small', file])).code).toBe(0);
    const plan = await planned([file]);
    expect(plan.runs).toHaveLength(5);
  });

  it('prints JSON that keeps the contract and the limits of the farm, also some days after it was written', async () => {
    const plan = await planned([farm, '--as-of', '2026-12-01']);
    expect(plan.asOf).toBe('2026-12-01');
    expect(plan.starts.length).toBeGreaterThan(0);
    const { jars } = exampleFarm(calendarDay(DAY));
    const known = new Set([
      ...jars.map(({ code }) => code),
      ...plan.starts.map(({ id }) => id),
      ...plan.cultures.map(({ id }) => id),
    ]);
    const sources = [
      ...plan.uses.map(({ from }) => from),
      ...plan.starts.flatMap(({ mothers }) => mothers.map(({ code }) => code)),
    ];
    expect(sources.filter((code) => !known.has(code))).toEqual([]);
    for (const run of plan.runs) {
      const used = plan.uses.filter((use) => use.run === run.run).reduce((sum, { grams }) => sum + grams, 0);
      expect(used).toBeCloseTo(run.coveredGrams, 0);
      if (run.coveredGrams < run.targetGrams - 1) expect(run.limit).not.toBeNull();
    }
    for (const day of new Set(plan.starts.map(({ benchDay }) => benchDay))) {
      const jarsStarted = plan.starts
        .filter(({ benchDay }) => benchDay === day)
        .reduce((sum, { containers }) => sum + containers, 0);
      expect(jarsStarted).toBeLessThanOrEqual(24);
    }
    expect(plan.bound).toBeLessThanOrEqual(plan.cost + 1e-6);
  });

  it('writes the plan as a workbook beside, and never touches the one it read', async () => {
    const out = folder.path('plan.xlsx');
    const before = await readFile(kitchen);
    const { code, output } = await planCommand([kitchen, '--as-of', DAY, '--out', out]);
    expect(code).toBe(0);
    expect(output).toContain(`The plan is in ${out}.`);
    expect((await readFile(out)).subarray(0, 2).toString()).toBe('PK');
    expect((await readFile(kitchen)).equals(before)).toBe(true);
  });

  it('runs through npm and tells its options', async () => {
    const { code, output, errors } = await run('npm', ['run', '-s', 'plan', '--', '--help']);
    expect({ code, errors }).toEqual({ code: 0, errors: '' });
    expect(output).toContain('--as-of YYYY-MM-DD');
  });
});

describe('a workbook with errors', () => {
  const spoil = (rows: FarmRows): FarmRows => ({
    ...rows,
    farm: { ...rows.farm, benchContainersPerDay: -6 },
    jars: rows.jars.map((jar, at) => {
      if (at === 0) return { ...jar, strain: 'Oister' };
      if (at === 1) return { ...jar, gramsLeft: -20 };
      return at === 2 ? { ...jar, code: rows.jars[3]?.code ?? null } : jar;
    }),
  });

  it('ends with 2 and every error, and writes nothing', async () => {
    const file = await broken('spoilt.xlsx', spoil);
    const out = folder.path('never.xlsx');
    const { code, output, errors } = await planCommand([file, '--as-of', DAY, '--out', out]);
    expect({ code, output }).toEqual({ code: 2, output: '' });
    expect(errors).toContain('4 things must be corrected');
    expect(errors).toContain('Farm!B3 (jars per bench day) has "-6": It must be at least 0.');
    expect(errors).toContain(
      'Jars!B2 (strain) has "Oister": The sheet Strains has no strain "Oister". Did you mean "Oyster"?',
    );
    expect(errors).toContain('Jars!H3 (grams left) has "-20": It must be at least 0 g.');
    expect(errors).toMatch(/Jars!A5 \(code\) has "OY-\S+": Row 4 already has this code/);
    await expect(readFile(out)).rejects.toThrow('ENOENT');
  });

  it('ends with 2 and the same errors as JSON', async () => {
    const file = await broken('spoilt-too.xlsx', spoil);
    const { code, output, errors } = await planCommand([file, '--as-of', DAY, '--json']);
    expect({ code, errors }).toEqual({ code: 2, errors: '' });
    const found = JSON.parse(output).errors;
    expect(found).toHaveLength(4);
    expect(found[1]).toEqual({
      code: 'unknown-name',
      sheet: 'Jars',
      cell: 'B2',
      column: 'strain',
      value: 'Oister',
      rule: 'The sheet Strains has no strain "Oister".',
      advice: 'Did you mean "Oyster"?',
    });
  });

  it.each([
    ['empty.xlsx', Buffer.alloc(0), 'empty (0 bytes)'],
    ['renamed.xlsx', Buffer.from('code,strain\n1,Oyster\n'), 'a text file (CSV, perhaps)'],
    ['old.xlsx', Buffer.from('d0cf11e0a1b11ae10000000000000000', 'hex'), 'old binary kind (.xls)'],
    ['zip.xlsx', Buffer.from('504b0506000000000000000000000000000000000000', 'hex'), 'not a workbook'],
  ])('%s is no workbook and is told so', async (name, bytes, reason) => {
    await writeFile(folder.path(name), bytes);
    const { code, errors } = await planCommand([folder.path(name)]);
    expect(code).toBe(2);
    expect(errors).toContain(reason);
  });
});

describe('a command line that cannot be followed', () => {
  it.each([
    [['--jsn', 'a.xlsx'], 'There is no option --jsn. Did you mean --json? See --help.\n'],
    [['/nowhere/farm.xlsx'], 'Cannot read /nowhere/farm.xlsx: it does not exist. Check the name and the folder.\n'],
  ])('%j ends with 2 and one clear sentence', async (args, sentence) => {
    expect(await planCommand(args)).toEqual({ code: 2, output: '', errors: sentence });
  });

  it('does not write a plan over its own workbook', async () => {
    const { code, errors } = await planCommand([kitchen, '--as-of', DAY, '--out', kitchen]);
    expect(code).toBe(2);
    expect(errors).toContain('is the workbook that is planned');
  });

  it('keeps a file that an example would have overwritten', async () => {
    const before = await readFile(kitchen);
    const { code, errors } = await planCommand(['--example', kitchen]);
    expect(code).toBe(2);
    expect(errors).toContain('exists already and is kept');
    expect((await readFile(kitchen)).equals(before)).toBe(true);
  });

  it('tells usage errors as JSON when JSON is asked for', async () => {
    const { code, output } = await planCommand(['--json', '/nowhere.xlsx']);
    expect(code).toBe(2);
    expect(JSON.parse(output).errors).toMatchObject([
      { code: 'usage', rule: 'Cannot read /nowhere.xlsx: it does not exist.' },
    ]);
  });
});

describe('reading in a process of its own', () => {
  it('gives the same as the rows that were written', async () => {
    const rows = exampleFarm(calendarDay(DAY));
    const reading = await readFarmWorkbook(await writeFarmWorkbook(rows), calendarDay(DAY));
    expect(reading.ok && reading.farm.rows).toEqual(rows);
  });

  it('gives the same in every time zone of the computer', async () => {
    const script = `
      import { readFileSync } from 'node:fs';
      import { readFarmWorkbook } from '@jarfold/workbook';
      const { farm } = await readFarmWorkbook(readFileSync(process.argv[1]), '${DAY}');
      console.log(JSON.stringify(farm));`;
    const read = (TZ: string) => run(process.execPath, ['--input-type=module', '-e', script, farm], { TZ });
    const zones = ['UTC', 'America/Los_Angeles', 'Asia/Kolkata', 'Pacific/Apia', 'America/Sao_Paulo'];
    const [first, ...others] = await Promise.all(zones.map(read));
    expect(JSON.parse(first?.output ?? '').situation.runs).toHaveLength(23);
    expect(others.filter(({ output }) => output !== first?.output)).toEqual([]);
  });

  it('takes today from the time zone of the farm', async () => {
    const rows = exampleKitchen(calendarDay(DAY));
    const bytes = await writeFarmWorkbook({ ...rows, farm: { ...rows.farm, timeZone: 'Pacific/Apia' } });
    const nowMs = Date.UTC(2026, 10, 25, 12);
    const reading = await readFarmWorkbook(bytes, { nowMs, timeZoneIfNone: 'UTC' });
    expect(reading.ok && reading.farm.situation.asOf).toBe('2026-11-26');
  });
});
