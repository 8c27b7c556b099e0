import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';
import { allRecipes, type Recipe } from '../support/recipes/index.js';
import { sendRequest } from '../support/request.js';

const NOW = new Date('2026-11-25T12:00:00Z');
const START = '2026-03-01';

let api: TestApi;
let farm: World;
let planted: PlantedFarm;

/** Forty lots of eight in as many weeks: of the first mother three go bad each time, of the second one in every other. */
const LOTS = Array.from({ length: 40 }, (_, i) => ({
  day: 5 * i,
  mother: i % 2,
  bad: i % 2 === 0 ? 3 : Number(i % 4 === 1),
}));
const BAD = LOTS.reduce((sum, { bad }) => sum + bad, 0);

beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
  farm = await api.farm('Farm');
  planted = await plantFarm(farm, { now: NOW, start: START, mothers: 2, lots: LOTS });
}, 300_000);
afterAll(() => api.close());

const get = async (world: World, url: string) => (await world.call('GET', url)).body;
const factor = (
  body: { factors: { factor: string; rates: { level: string; hits: number; n: number }[] }[] },
  name: string,
) => body.factors.find((each) => each.factor === name)!.rates;

/** Where an answer tells how a person's jars fared. */
function aboutPeople(text: string): string[] {
  const rated = [...text.matchAll(/\{"factor":"operator"[^\]]*"rates":\[\{[^}]*/g)].map(([found]) => found);
  const named = [...text.matchAll(/"factor":"operator","level"[^}]*|operator [^"]* explains/gi)].map(
    ([found]) => found,
  );
  return [...rated, ...named];
}

describe('contamination rates', () => {
  it('count what the log says, with interval and n, by every factor', async () => {
    const body = await get(farm, '/api/rates/contamination');
    expect(body).toMatchObject({ hits: BAD, n: 320, lotsCounted: 40, lotsTooYoung: 0, othersKeptBack: false });
    expect(body.observed).toMatchObject({ kind: 'estimate', value: BAD / 320, n: 320 });
    expect(body.observed.low).toBeLessThan(BAD / 320);
    const mothers = factor(body, 'mother');
    expect(mothers.find(({ level }) => level === planted.motherIds[0])).toMatchObject({
      hits: 60,
      n: 160,
      label: planted.motherCodes[0],
    });
    expect(factor(body, 'room')).toMatchObject([{ level: planted.roomId, n: 320 }]);
    expect(body.start.source).not.toBe('');
  });

  it('name the mother that explains the excess, in a sentence', async () => {
    const { attribution } = await get(farm, '/api/rates/contamination');
    expect(attribution.causes).toHaveLength(1);
    expect(attribution.causes[0].members).toEqual([
      { factor: 'mother', level: planted.motherIds[0], label: planted.motherCodes[0] },
    ]);
    expect(attribution.causes[0].sentence).toContain(`mother jar ${planted.motherCodes[0]}`);
    expect(attribution.causes[0].oddsRatio.low).toBeGreaterThan(2);
  });

  it('are charted by week and month, against limits', async () => {
    const { overTime } = await get(farm, '/api/rates/contamination?period=month');
    expect(overTime.points.map(({ label }: { label: string }) => label)).toContain('2026-04');
    expect(overTime.points.reduce((sum: number, { n }: { n: number }) => sum + n, 0)).toBe(320);
    expect((await get(farm, '/api/rates/contamination')).overTime.chart.kind).toBe('chart');
  });

  it('of a person are shown to that person and the owner, and never named to others', async () => {
    const hand = await farm.colleague('hand');
    const body = await get(hand, '/api/rates/contamination');
    expect(factor(body, 'operator')).toEqual([]);
    expect(body).toMatchObject({ othersKeptBack: true, n: 320 });
    expect(JSON.stringify(body)).not.toContain(farm.staffId);
    expect(factor(await get(farm, '/api/rates/contamination'), 'operator')).toMatchObject([
      { level: farm.staffId, n: 320 },
    ]);
  });

  it.each(['lead', 'hand'] as const)('of another person stand in no answer that a %s may read', async (role) => {
    const other = await farm.colleague(role);
    await farm.look();
    const readable = Object.entries(allRecipes).filter(([operation]) => operation.startsWith('GET '));
    for (const [operation, recipe] of readable) {
      const { as: _owner, ...request } = await (recipe as Recipe)(farm);
      const { status, text } = await sendRequest(operation, request, other);
      if (status === 200) expect([operation, ...aboutPeople(text)]).toEqual([operation]);
    }
    expect(aboutPeople((await farm.call('GET', '/api/rates/contamination')).text)).not.toEqual([]);
  });

  it('of a farm without jars say so and show what is published', async () => {
    const empty = await api.farm('Empty');
    const body = await get(empty, '/api/rates/contamination');
    expect(body).toMatchObject({
      n: 0,
      observed: { kind: 'not enough data' },
      attribution: { kind: 'not enough data' },
      shrunk: { value: body.start.value },
    });
    expect(body.overTime.chart.kind).toBe('not enough data');
    expect(JSON.stringify(body)).not.toContain('NaN');
  });

  it('of a strain the farm does not have are not found', async () => {
    expect((await farm.call('GET', `/api/rates/growth?strainId=${randomUUID()}`)).status).toBe(404);
  });
});

describe('the values plans are made with', () => {
  it('are learned from the log where it says enough, and say what is published beside it', async () => {
    const [strain] = (await get(farm, '/api/rates/planning')).items;
    expect(strain.daysToRipe).toMatchObject({ origin: 'learned', published: { value: 14 } });
    expect(strain.daysToRipe.n).toBeGreaterThan(200);
    expect(strain.daysToRipe.value).toBeLessThan(14);
    expect(strain.lossRate).toMatchObject({ origin: 'learned', published: { origin: 'species' } });
    expect(strain.lossRate.low).toBeLessThan(strain.lossRate.value);
    expect(strain.warmLifeDays).toMatchObject({ origin: 'species', n: 0 });
  });

  it('are the farm’s own word where it gave one, and published on a new farm', async () => {
    const young = await api.farm('Young');
    const { id, revision } = (await young.call('POST', '/api/farm/strains', { speciesKey: 'pleurotus-ostreatus' }))
      .body;
    expect((await get(young, '/api/rates/planning')).items[0].daysToRipe).toMatchObject({ origin: 'species', n: 0 });
    const own = await young.call(
      'PATCH',
      `/api/farm/strains/${id}`,
      { daysToRipe: 17 },
      { 'if-match': `"${revision}"` },
    );
    expect(own.status).toBe(200);
    expect((await get(young, '/api/rates/planning')).items[0].daysToRipe).toMatchObject({ origin: 'farm', value: 17 });
  });
});

describe('growth, ageing and yield', () => {
  it('days to ripe lie where the looks bracket them, with the count of jars', async () => {
    const [strain] = (await get(farm, '/api/rates/growth')).items;
    expect(strain).toMatchObject({ jars: 320 - BAD, leftOut: 0, start: { value: 14 } });
    expect(strain.all.median.value).toBeGreaterThan(10);
    expect(strain.all.median.value).toBeLessThan(13);
    expect(strain.byGeneration).toMatchObject([{ generation: 2 }]);
    expect(strain.byRoom).toMatchObject([{ roomId: planted.roomId }]);
  });

  it('restarts of chilled jars move the cold life from the published days', async () => {
    const [before] = (await get(farm, '/api/rates/ageing')).items;
    expect(before).toMatchObject({ restarts: 0, curve: { kind: 'not enough data' } });
    expect(before.ownShare).toBeCloseTo(0, 6);
    const jars = planted.jarIds[1]!.slice(1, 6);
    await planted.log(planted.at(40), 'chilled', { jarIds: jars, place: { shelfId: planted.coldShelfId } });
    for (const jarId of jars) await planted.log(planted.at(70), 'regrowth_tested', { jarId, days: 5, regrew: false });
    const [after] = (await get(farm, '/api/rates/ageing')).items;
    expect(after).toMatchObject({ restarts: 5, died: 5, curve: { kind: 'curve', n: 5 } });
    expect(after.lifeDays.value).toBeLessThan(before.lifeDays.value);
  });

  it('a strain whose cold life the farm calls 0 days is told of all the same', async () => {
    const never = { speciesKey: 'pleurotus-ostreatus', coldLifeDays: 0, mayBeChilled: false };
    const { id } = (await farm.call('POST', '/api/farm/strains', never)).body;
    const answer = await farm.call('GET', `/api/rates/ageing?strainId=${id}`);
    expect(answer.status).toBe(200);
    expect(answer.body.items).toMatchObject([{ restarts: 0, mayBeChilled: false, start: { origin: 'species' } }]);
    const values = (await get(farm, '/api/rates/planning')).items;
    expect(values.find(({ strainId }: { strainId: string }) => strainId === id).coldLifeDays).toBeNull();
  });

  it('biological efficiency stands beside the grams it comes from', async () => {
    const body = { day: '2099-01-05', strainIds: [planted.strainId], substrateWetKg: 30 };
    const { run } = (await farm.call('POST', '/api/runs', body)).body;
    const jarId = planted.jarIds[3]!.at(-1)!;
    await planted.log(planted.at(60), 'drawn_for_run', {
      runId: run.id,
      draws: [{ jarId, amount: { by: 'grams', massG: 500 } }],
    });
    await planted.log(planted.at(85), 'harvested', { runId: run.id, flush: 1, massG: 5000 });
    await planted.log(planted.at(97), 'harvested', { runId: run.id, flush: 2, massG: 2500 });
    const { runs, strains } = await get(farm, '/api/rates/yield');
    expect(runs).toHaveLength(1);
    expect(runs[0]).toMatchObject({ freshG: 7500, moistureAssumed: true, finished: true, daysToFirstHarvest: 25 });
    expect(runs[0].efficiency).toBeCloseTo(7500 / runs[0].substrateDryG, 9);
    expect(strains[0]).toMatchObject({ finishedRuns: 1, freshG: 7500, observed: { kind: 'not enough data' } });
    expect(strains[0].shrunk.kind).toBe('estimate');
  });
});
