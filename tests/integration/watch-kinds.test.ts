import { randomUUID } from 'node:crypto';
import { addDays, calendarDay } from '@jarfold/domain';
import { WatchService } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';

/** Every kind of flag, told to the bench log, seen through the API, and settled by what the farm then does. */
const TODAY = calendarDay('2026-11-25');
let now = new Date(`${TODAY}T12:00:00Z`);

let api: TestApi;
let watch: WatchService;

beforeAll(async () => {
  api = await startApi({ clock: () => now });
  watch = new WatchService(api.database.growerDb, { now: () => now });
}, 300_000);
afterAll(() => api.close());

interface FlagSeen {
  readonly kind: string;
  readonly what: string;
  readonly where: readonly string[];
  readonly since: string;
  readonly why: string;
  readonly action: string;
}

const look = ({ growerId }: World) => watch.look({ growerId, staffId: null, role: null });
const flagsOf = async (farm: World, kind: string): Promise<FlagSeen[]> =>
  (await farm.call('GET', '/api/watch')).body.items.filter((flag: FlagSeen) => flag.kind === kind);
const plan = async (farm: World) => {
  const { status, text } = await farm.call('POST', '/api/plan');
  if (status >= 300) throw new Error(text);
};
const day = (days: number) => addDays(TODAY, days);

/** Jars that came in, in one lot; answers with their ids. */
async function receive(planted: PlantedFarm, count: number, jar: object): Promise<string[]> {
  const ids = Array.from({ length: count }, () => randomUUID());
  const { strainId, sizeId } = planted;
  await planted.log(now.toISOString(), 'received', {
    ...{ lotId: randomUUID(), strainId, sizeId, generation: 2, container: 'jar', carrier: 'grain' },
    jars: ids.map((id) => ({ id, ...jar })),
  });
  return ids;
}

const oneRun = async (farm: World, planted: PlantedFarm, days: number, substrateWetKg: number): Promise<string> => {
  const { status, body, text } = await farm.call('POST', '/api/runs', {
    ...{ name: 'Straw', day: day(days), strainIds: [planted.strainId], substrateWetKg },
  });
  if (status !== 201) throw new Error(text);
  return body.run.id;
};

const discard = (planted: PlantedFarm, jarIds: readonly string[]) =>
  planted.log(now.toISOString(), 'discarded', { jarIds, reason: 'surplus' });

describe('stock without a use', () => {
  it('chilled and about to be too old: days left, the run that could take it, and settled once it is gone', async () => {
    const farm = await api.farm('Cold');
    const planted = await plantFarm(farm, { now, start: '2026-09-01', mothers: 1, lots: [] });
    const jars = await receive(planted, 8, { ripeOn: day(-52), chilledOn: day(-50) });
    await oneRun(farm, planted, 5, 24);
    await plan(farm);
    await look(farm);
    const [flag, ...others] = await flagsOf(farm, 'ageing-out');
    expect(others).toEqual([]);
    expect(flag!.what).toMatch(/chilled jars of .+ too old in \d+ days, on 2026-12-/);
    expect(flag!.action).toContain(`Use them in Straw on ${day(5)}`);
    expect(flag!.why).not.toBe('');
    expect(flag!.since).toBe(TODAY);
    expect(flag!.where.length).toBeGreaterThan(3);
    await discard(planted, jars);
    await plan(farm);
    await look(farm);
    expect(await flagsOf(farm, 'ageing-out')).toEqual([]);
  });

  it('warm without a run is stranded, and settles when a run is planned that takes it', async () => {
    const farm = await api.farm('Warm');
    const planted = await plantFarm(farm, { now, start: '2026-11-24', mothers: 1, lots: [] });
    await receive(planted, 4, { ripeOn: day(-2) });
    await plan(farm);
    await look(farm);
    const stranded = await flagsOf(farm, 'stranded');
    expect(stranded.length).toBeGreaterThan(0);
    expect(stranded[0]).toMatchObject({ action: expect.stringContaining('Plan a run') });
    await oneRun(farm, planted, 4, 100);
    await plan(farm);
    await look(farm);
    expect(await flagsOf(farm, 'stranded')).toEqual([]);
  });
});

describe('too few mothers of a strain', () => {
  it('are flagged by the strain’s code, and settled when a jar more is kept', async () => {
    const farm = await api.farm('Mothers');
    const planted = await plantFarm(farm, { now, start: '2026-11-20', mothers: 1, lots: [] });
    const [strain] = (await farm.call('GET', '/api/farm')).body.strains;
    const url = `/api/farm/strains/${planted.strainId}`;
    expect((await farm.call('PATCH', url, { motherReserve: 2 }, revisionOf(strain))).status).toBe(200);
    await plan(farm);
    await look(farm);
    const [flag, ...others] = await flagsOf(farm, 'few-mothers');
    expect(others).toEqual([]);
    expect(flag).toMatchObject({ where: [strain.code], what: expect.stringContaining(strain.code) });
    await receive(planted, 6, { ripeOn: TODAY });
    await plan(farm);
    await look(farm);
    expect(await flagsOf(farm, 'few-mothers')).toEqual([]);
  });
});

const revisionOf = ({ revision }: { readonly revision: number }) => ({ 'if-match': `"${revision}"` });

describe('a steriliser cycle that departs from its method', () => {
  it('is flagged by its code with what departed, and settled when the slip of the pen is corrected', async () => {
    const farm = await api.farm('Cycle');
    const planted = await plantFarm(farm, { now, start: '2026-11-20', mothers: 1, lots: [] });
    const cycleId = randomUUID();
    const at = (minute: number) => new Date(now.getTime() - (200 - minute) * 60_000).toISOString();
    const loads = [{ sizeId: planted.sizeId, count: 8 }];
    await planted.log(at(0), 'cycle_started', { cycleId, method: 'boiling_water_steam', loads });
    const deviceId = randomUUID();
    const ended = async (sequence: number, id: string, kind: string, payload: object) => {
      const entry = { id, sequence, happenedAt: at(60 + sequence), kind, payload };
      const { body, text } = await farm.call('POST', '/api/bench/entries', {
        ...{ deviceId, sentAt: now.toISOString(), entries: [entry] },
      });
      if (body.answers[0].outcome !== 'applied') throw new Error(text);
    };
    const slip = randomUUID();
    await ended(1, slip, 'cycle_ended', { cycleId, holdMin: 6 });
    await look(farm);
    const [flag] = await flagsOf(farm, 'cycle-departed');
    expect(flag).toMatchObject({
      what: expect.stringContaining('short hold'),
      why: expect.stringContaining('this one held 6'),
      action: expect.stringContaining('hold again'),
      since: TODAY,
    });
    await ended(2, randomUUID(), 'corrected', { entryId: slip, reason: 'It was an hour.' });
    await ended(3, randomUUID(), 'cycle_ended', { cycleId, holdMin: 60 });
    await look(farm);
    expect(await flagsOf(farm, 'cycle-departed')).toEqual([]);
  });
});

describe('a shift of the contamination rate', () => {
  it('names its weeks and the mother that explains it, stands as one flag, and settles when lots are as usual again', async () => {
    now = new Date('2026-08-20T12:00:00Z');
    const farm = await api.farm('Shift');
    // Two lots a week with one bad jar in every other; then four a week for three weeks, six of eight bad of one mother.
    const usual = Array.from({ length: 38 }, (_, i) => ({ day: 3 * i + Math.floor(i / 2), mother: 0, bad: i % 2 }));
    const late = Array.from({ length: 12 }, (_, i) => ({
      ...{
        day: 133 + 7 * Math.floor(i / 4) + (i % 4),
        mother: 1 + (i % 2),
        bad: i % 2 === 0 ? 6 : i % 4 === 1 ? 1 : 0,
      },
    }));
    const lots = [...usual, ...late];
    const planted = await plantFarm(farm, { now: () => now, start: '2026-03-02', mothers: 3, lots });
    await look(farm);
    const [flag, ...others] = await flagsOf(farm, 'contamination-shift');
    expect(others).toEqual([]);
    expect(flag!.what).toContain('what chance explains');
    expect(flag!.why).toContain(`Mother jar ${planted.motherCodes[1]} explains`);
    expect(flag!.where).toEqual([planted.motherCodes[1]]);
    expect(flag!.since > '2026-07-01' && flag!.since < '2026-08-20').toBe(true);
    expect(flag!.action).toContain('Put that factor apart');

    const raisedAt = async () =>
      (await farm.call('GET', '/api/watch')).body.items.map((item: FlagSeen & { raisedAt: string }) => item.raisedAt);
    const first = await raisedAt();
    now = new Date('2026-08-22T12:00:00Z');
    await look(farm);
    expect(await raisedAt()).toEqual(first);

    now = new Date('2026-11-08T12:00:00Z');
    for (let week = 0; week < 4; week++) {
      const { strainId, sizeId, motherIds } = planted;
      const jars = Array.from({ length: 16 }, () => ({ id: randomUUID() }));
      const made = 204 + 7 * week;
      const mothers = [{ jarId: motherIds[0]!, amount: { by: 'grams', massG: 5 } }];
      await planted.log(planted.at(made), 'inoculated', { lotId: randomUUID(), strainId, sizeId, mothers, jars });
      await planted.log(planted.at(made + 13), 'checked', { jars: jars.map(({ id }) => ({ jarId: id, ripe: true })) });
    }
    await look(farm);
    expect(await flagsOf(farm, 'contamination-shift')).toEqual([]);
  });
});
