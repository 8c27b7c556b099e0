import { AsyncLocalStorage } from 'node:async_hooks';
import type { BringInWatch } from '@jarfold/server';
import { afterAll, beforeAll, beforeEach } from '@jest/globals';
import { type Answer, startApi, type TestApi, type World } from './api-app.js';
import { fileImporter } from './file-worker.js';
import { oldWorkbook } from './old-workbook.js';
import { FILE_HEADERS } from './recipes/workbooks.js';

export const NOW = new Date('2026-11-25T09:00:00Z');

interface At {
  api: TestApi;
  farm: World;
  strainId: string;
  shelfId: string;
}

/** A new farm before each test of a file, and the steps by which its old spreadsheets come in and go out again. */
export function oldSheetsFarm() {
  const at = {} as At;

  beforeAll(async () => {
    at.api = await startApi({ clock: () => NOW });
  });
  afterAll(() => at.api.close());

  beforeEach(async () => {
    at.farm = await at.api.farm('Farm');
    const strain = { code: 'BO1', name: 'Blue oyster', speciesKey: 'pleurotus-ostreatus' };
    at.strainId = (await at.farm.call('POST', '/api/farm/strains', strain)).body.id;
    const room = (await at.farm.call('POST', '/api/farm/rooms', { name: 'Warm room', kind: 'incubation' })).body;
    const shelf = { roomId: room.id, name: 'A', rows: 4, placesPerRow: 10 };
    at.shelfId = (await at.farm.call('POST', '/api/farm/shelves', shelf)).body.id;
  });

  const send = (bytes: Buffer, name = 'cellar.xlsx') =>
    at.farm.call('POST', `/api/imports/old-sheets?name=${encodeURIComponent(name)}`, bytes, FILE_HEADERS);
  const understand = ({ body }: Answer, tables: object) =>
    at.farm.call('PUT', `/api/imports/old-sheets/${body.import.id}/mapping`, { tables });
  const sayYes = ({ body }: Answer, withoutRefused = false) =>
    at.farm.call('POST', `/api/imports/old-sheets/${body.import.id}/bring-in`, { seen: body.seen, withoutRefused });
  const look = (id: string) => at.farm.call('GET', `/api/imports/old-sheets/${id}`);
  const bringer = (watch: BringInWatch = {}) => fileImporter(at.api.database.growerDb, { now: () => NOW }, watch);
  /** What stands outside the bringing in, as another process does: no transaction of it is open there. */
  const outside = AsyncLocalStorage.snapshot();
  const work = (id: string, { beforeSwitch }: { readonly beforeSwitch?: () => Promise<void> } = {}) =>
    bringer(beforeSwitch ? { beforeSwitch: () => outside(beforeSwitch) } : {}).bringIn(at.farm.growerId, id);

  const jarsNow = async () =>
    (await at.farm.call('GET', '/api/stock/jars?limit=200')).body.items as { code: string; state: string }[];
  const codesNow = async () => (await jarsNow()).map(({ code }) => code).sort();
  const runsNow = async () => (await at.farm.call('GET', '/api/runs?state=all')).body.items;
  const chain = async () => (await at.farm.call('GET', '/api/bench/chain')).body;

  /** What the farm answers about the old workbook. */
  const answers = (mapping: Record<string, { words: object; units: object; columns: object }>) => {
    const strain = { 'blue oy.': { to: 'known', id: at.strainId } };
    const jars = mapping['1.1']!;
    return {
      '1.1': {
        ...jars,
        dayOrder: 'day-month-year',
        decimalMark: 'comma',
        forAllRows: { size: 'litre', goneOn: '2026-11-01' },
        words: {
          ...jars.words,
          strain,
          size: { litre: { to: 'new-size', name: 'Litre jar', volumeMl: 1000, container: 'jar', carrier: 'grain' } },
          place: { warm: { to: 'known', id: at.shelfId }, cold: { to: 'new-room', name: 'Cold cellar', kind: 'cold' } },
        },
      },
      '1.2': { ...mapping['1.2']!, words: { strain } },
      '2.1': mapping['2.1']!,
    };
  };

  async function answered(bytes?: Buffer): Promise<Answer> {
    const sent = await send(bytes ?? (await oldWorkbook()));
    return understand(sent, answers(sent.body.mapping));
  }

  return {
    at,
    send,
    understand,
    sayYes,
    look,
    bringer,
    outside,
    work,
    jarsNow,
    codesNow,
    runsNow,
    chain,
    answers,
    answered,
  };
}
