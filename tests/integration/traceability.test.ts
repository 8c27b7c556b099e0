import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { defaultLimits } from '../../libs/workbook/src/package/limits.js';
import { readCells } from '../../libs/workbook/src/package/read-cells.js';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';

const NOW = new Date('2026-11-25T12:00:00Z');

let api: TestApi;
let farm: World;
let planted: PlantedFarm;

beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
  farm = await api.farm('Farm');
  const lots = [0, 3].map((day) => ({ day, mother: 0, bad: 1, jars: 3 }));
  planted = await plantFarm(farm, { now: NOW, start: '2026-10-01', mothers: 1, lots });
}, 300_000);
afterAll(() => api.close());

interface Told {
  readonly type: string;
  readonly epcList?: string[];
  readonly outputEPCList?: string[];
}
const events = async (query: string): Promise<Told[]> =>
  JSON.parse((await farm.call('GET', `/api/traceability/epcis?${query}`)).bytes.toString()).epcisBody.eventList;
const lotCode = async (): Promise<string> =>
  (await farm.call('GET', `/api/recall?lotId=${planted.lotIds[0]}`)).body.asked.code;

describe('lot records', () => {
  it('of one lot, by id or by the code on its label, tell of its jars and of no other', async () => {
    const byId = await events(`lotId=${planted.lotIds[0]}`);
    const byCode = await events(`code=${encodeURIComponent((await lotCode()).toLowerCase())}`);
    expect(byCode).toEqual(byId);
    const made = byId.filter(({ type }) => type === 'TransformationEvent');
    expect(made.map(({ outputEPCList }) => outputEPCList)).toEqual([planted.jarIds[0]!.map((id) => `urn:uuid:${id}`)]);
    expect(JSON.stringify(byId)).not.toContain(planted.jarIds[1]![0]);
  });

  it('of a range of days hold the lots made in it', async () => {
    const told = JSON.stringify(await events('from=2026-10-04&to=2026-10-04'));
    expect(told).toContain(planted.jarIds[1]![0]);
    expect(told).not.toContain(planted.jarIds[0]![0]);
  });

  it('come as a sheet with a row to a lot', async () => {
    const { bytes } = await farm.call('GET', `/api/traceability/lots?code=${await lotCode()}`);
    const { sheets } = await readCells(bytes, defaultLimits);
    const texts = sheets[0]!.rows.flatMap(({ cells }) =>
      cells.flatMap(({ content }) => (content.kind === 'text' ? [content.text] : [])),
    );
    expect(texts.filter((text) => /^\w+-26W\d\d-\d+$/.test(text))).toEqual([await lotCode()]);
  });

  it('of a code nobody has, and of a stranger’s, are refused alike', async () => {
    const refused = async (world: World, code: string) =>
      (await world.call('GET', `/api/traceability/lots?code=${code}`)).status;
    expect(await refused(farm, 'XX9-26W01-1')).toBe(404);
    for (const pattern of ['%', '_'.repeat((await lotCode()).length), '\\'])
      expect(await refused(farm, encodeURIComponent(pattern))).toBe(404);
    expect(await refused(await api.farm('Stranger'), await lotCode())).toBe(404);
  });
});
