import type { World } from '../api-app.js';
import { oldWorkbook } from '../old-workbook.js';
import { aStrain } from './farm.js';
import type { Recipes } from './recipe.js';
import { FILE_HEADERS } from './workbooks.js';

const PATH = '/api/imports/old-sheets';

/** A list of two jars whose codes nobody else has. */
const list = (): Buffer => {
  const tag = Math.random().toString(36).slice(2, 10);
  return Buffer.from(
    `code,strain,gen,size,state,made on\nX-${tag}-1,Oyster,1,litre,ripe,2026-05-01\nX-${tag}-2,Oyster,1,litre,ripe,2026-05-01\n`,
  );
};

async function aSheet(world: World) {
  const answer = await world.call('POST', PATH, list(), FILE_HEADERS);
  if (answer.status !== 201) throw new Error(`POST ${PATH}: ${answer.text}`);
  return answer.body;
}

/** A list about which nothing is open any more: strain and size are made with it. */
async function anAnsweredSheet(world: World) {
  const sheet = await aSheet(world);
  const tag = Math.floor(Math.random() * 900 + 100);
  const table = sheet.mapping['1.1'];
  const words = {
    ...table.words,
    strain: { oyster: { to: 'new-strain', code: `QX${tag}`, name: 'Oyster', speciesKey: 'pleurotus-ostreatus' } },
    size: {
      litre: {
        to: 'new-size',
        name: `Litre ${tag} ${sheet.import.id.slice(0, 8)}`,
        volumeMl: 1000,
        container: 'jar',
        carrier: 'grain',
      },
    },
  };
  const answer = await world.call('PUT', `${PATH}/${sheet.import.id}/mapping`, {
    tables: { '1.1': { ...table, words } },
  });
  if (answer.status !== 200) throw new Error(`PUT ${PATH}/mapping: ${answer.text}`);
  return answer.body;
}

export const recipes: Recipes = {
  'POST /api/imports/old-sheets': () => ({ query: { name: 'jars.csv' }, body: list(), headers: FILE_HEADERS }),
  'GET /api/imports/old-sheets/{importId}': async (world) => ({
    params: { importId: (await aSheet(world)).import.id },
  }),
  'GET /api/imports/old-sheets/{importId}/marked-copy': async (world) => {
    const sent = await world.call('POST', PATH, await oldWorkbook(), FILE_HEADERS);
    return { params: { importId: sent.body.import.id } };
  },
  'PUT /api/imports/old-sheets/{importId}/mapping': async (world) => {
    const { import: row, mapping } = await aSheet(world);
    // Said anew each time: what the farm said of an earlier list is remembered, and would name other ids by then.
    const table = mapping['1.1'];
    const words = { strain: { oyster: { to: 'known', id: (await aStrain(world)).id } } };
    return {
      params: { importId: row.id },
      body: { tables: { '1.1': { ...table, words } } },
      volatile: ['uploadedAt', 'shows'],
    };
  },
  'POST /api/imports/old-sheets/{importId}/bring-in': async (world) => {
    const { import: row, seen } = await anAnsweredSheet(world);
    return { params: { importId: row.id }, body: { seen, withoutRefused: false } };
  },
  'POST /api/imports/old-sheets/{importId}/take-back': async (world) => {
    const { import: row, seen } = await anAnsweredSheet(world);
    await world.call('POST', `${PATH}/${row.id}/bring-in`, { seen, withoutRefused: false });
    if ((await world.bringIn(row.id)) !== 'applied') throw new Error('The list was not brought in.');
    return { params: { importId: row.id } };
  },
};
