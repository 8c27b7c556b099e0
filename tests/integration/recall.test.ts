import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { defaultLimits } from '../../libs/workbook/src/package/limits.js';
import { readCells } from '../../libs/workbook/src/package/read-cells.js';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';

const NOW = new Date('2026-11-25T12:00:00Z');

let api: TestApi;
let farm: World;
let planted: PlantedFarm;
const granddaughters = [randomUUID(), randomUUID()];

beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
  farm = await api.farm('Farm');
  const lots = [
    { day: 0, mother: 0, bad: 1, jars: 3 },
    { day: 2, mother: 0, bad: 0, jars: 2 },
    { day: 4, mother: 1, bad: 0, jars: 2 },
  ];
  planted = await plantFarm(farm, { now: NOW, start: '2026-10-01', mothers: 2, lots });
  const { strainId, sizeId } = planted;
  const draw = { jarId: planted.jarIds[0]![2]!, amount: { by: 'grams', massG: 300 } };
  const jars = granddaughters.map((id) => ({ id }));
  await planted.log(planted.at(20), 'inoculated', { lotId: randomUUID(), strainId, sizeId, mothers: [draw], jars });
}, 300_000);
afterAll(() => api.close());

type Told = { jarId: string; relation: string; steps: number | null };
const recall = async (query: string) => (await farm.call('GET', `/api/recall?${query}`)).body;
const told = (body: { jars: Told[] }, relation: string) =>
  body.jars.filter((jar) => jar.relation === relation).map(({ jarId }) => jarId);

describe('a recall', () => {
  it('finds every relative of a jar, up, down and beside, with its place and its grams', async () => {
    const jarId = planted.jarIds[0]![2]!;
    const body = await recall(`jarId=${jarId}`);
    expect(told(body, 'asked')).toEqual([jarId]);
    expect(told(body, 'ancestor')).toEqual([planted.motherIds[0]]);
    expect(told(body, 'descendant').sort()).toEqual([...granddaughters].sort());
    expect(told(body, 'sister').sort()).toEqual([...planted.jarIds[0]!.slice(0, 2), ...planted.jarIds[1]!].sort());
    expect(body.jars[0]).toMatchObject({ drawnG: 300, leftG: 300, place: { roomId: planted.roomId } });
    expect(body.balance).toMatchObject({ jars: 3, madeG: 1800, drawnG: 300, leftG: 1500, unaccountedG: 0 });
  });

  it('of a lot starts from all its jars, by its id or the code on its label', async () => {
    const body = await recall(`lotId=${planted.lotIds[0]}`);
    expect(told(body, 'asked').sort()).toEqual([...planted.jarIds[0]!].sort());
    expect(told(body, 'descendant')).toHaveLength(2);
    const byCode = await recall(`code=${encodeURIComponent(body.asked.code.toLowerCase())}`);
    expect(byCode.asked).toEqual(body.asked);
  });

  it('names the runs its spawn went into', async () => {
    const run = { day: '2099-01-05', strainIds: [planted.strainId], substrateWetKg: 30 };
    const runId = (await farm.call('POST', '/api/runs', run)).body.run.id;
    const draws = [{ jarId: granddaughters[0], amount: { by: 'grams', massG: 400 } }];
    await planted.log(planted.at(36), 'drawn_for_run', { runId, draws });
    const { runs } = await recall(`jarId=${planted.motherIds[0]}`);
    expect(runs).toMatchObject([{ runId, grams: 400, jars: 1 }]);
    expect((await recall(`jarId=${planted.motherIds[1]}`)).runs).toEqual([]);
  });

  it('comes as a workbook with the same relatives, grams and runs', async () => {
    const url = `/api/recall/workbook?jarId=${planted.motherIds[0]}`;
    const answer = await api.app.inject({ method: 'GET', url, headers: { cookie: farm.cookie } });
    expect(answer.statusCode).toBe(200);
    expect(answer.headers['content-disposition']).toMatch(/^attachment; filename="Recall .*2026-11-25\.xlsx"/);
    const { sheets } = await readCells(answer.rawPayload, defaultLimits);
    expect(sheets.map(({ name }) => name)).toEqual(['Relatives', 'Balance', 'Bulk runs']);
    const { jars } = await recall(`jarId=${planted.motherIds[0]}`);
    const codes = sheets[0]!.rows.flatMap(({ cells }) =>
      cells.flatMap(({ column, content }) => (column === 1 && content.kind === 'text' ? [content.text] : [])),
    );
    for (const { code } of jars) expect(codes).toContain(code);
  });

  it('of nothing, of two things, and of a stranger’s jar is refused with a reason', async () => {
    expect((await farm.call('GET', '/api/recall')).status).toBe(400);
    const both = `jarId=${planted.motherIds[0]}&lotId=${planted.lotIds[0]}`;
    expect((await farm.call('GET', `/api/recall?${both}`)).status).toBe(400);
    const stranger = await api.farm('Stranger');
    expect((await stranger.call('GET', `/api/recall?jarId=${planted.motherIds[0]}`)).status).toBe(404);
    expect((await farm.call('GET', '/api/recall?code=XX9-26W01-1')).status).toBe(404);
  });
});
