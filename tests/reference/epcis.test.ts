import { readFileSync } from 'node:fs';
import { epcisDocument, type TraceLot, type TraceRecords } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { Ajv } from 'ajv';
import addFormats from 'ajv-formats';

/** The published JSON Schema of GS1 EPCIS 2.0; where it is from stands in epcis/README.md. */
const schema = JSON.parse(readFileSync(new URL('epcis/EPCIS-JSON-Schema.json', import.meta.url), 'utf8'));
const ajv = new Ajv({ strict: false, allErrors: true });
addFormats.default(ajv);
const validate = ajv.compile(schema);

/** What the schema finds wrong, a line each. */
function faults(document: unknown): string[] {
  validate(JSON.parse(JSON.stringify(document)));
  return (validate.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}

const id = (n: number): string => `00000000-0000-4000-8000-${String(n).padStart(12, '0')}`;
const jar = (n: number, part: Partial<TraceLot['jars'][number]> = {}) => ({
  ...{ id: id(n), code: `OY3-26W40-1/${n}`, state: 'ripe', goneReason: null, contaminatedOn: null, goneAt: null },
  ...{ madeG: 600, drawnG: 0, leftG: 600, discardedG: 0 },
  ...part,
});
const lot = (n: number, part: Partial<TraceLot> = {}): TraceLot => ({
  ...{ id: id(n), code: `OY3-26W40-${n}`, origin: 'inoculated', generation: 2, supplier: null },
  ...{ strainCode: 'OY3', strainName: 'Grey', species: 'Pleurotus ostreatus', size: 'Litre' },
  ...{ madeOn: '2026-10-01' as TraceLot['madeOn'], madeAt: '2026-10-01T09:00:00.000Z' },
  ...{ grainBatch: 'G-1', cycle: 'ST-1', f0Min: 18, mothers: [], jars: [jar(n * 100)], draws: [] },
  ...part,
});

const GONE = { goneAt: '2026-11-01T10:00:00.000Z' };
const draw = (jarNumber: number, massG: number) => ({
  ...{ entryId: id(5), jarId: id(jarNumber), at: '2026-11-01T10:00:00.000Z', massG },
});

/** Every kind of event a farm's records hold. */
const records: TraceRecords = {
  growerId: id(1),
  farmName: 'Farm',
  madeAt: '2026-11-29T12:00:00.000Z',
  offsetAt: (at) => (at < '2026-10-25' ? '+02:00' : '+01:00'),
  lots: [
    lot(2, { origin: 'received', supplier: 'Elsewhere' }),
    lot(3, { origin: 'blank', strainCode: '', species: '' }),
    lot(4, {
      mothers: [{ id: id(200), code: 'OY3-26W40-2/1' }],
      jars: [
        jar(400, {
          state: 'emptied',
          goneReason: 'emptied',
          goneAt: '2026-11-01T10:00:00.000Z',
          leftG: 0,
          drawnG: 600,
        }),
        jar(401, {
          state: 'discarded',
          contaminatedOn: '2026-10-09' as never,
          goneReason: 'discarded',
          goneAt: '2026-10-10T10:00:00.000Z',
        }),
        jar(402),
        jar(403, { ...GONE, state: 'emptied', goneReason: 'emptied', leftG: 0, drawnG: 600 }),
        jar(404, { drawnG: 200, leftG: 400 }),
      ],
      draws: [
        { ...draw(400, 600), runId: id(6), runName: 'Run', runKind: 'bulk' },
        { ...draw(403, 600), runId: id(8), runName: 'Order', runKind: 'order' },
        { ...draw(404, 200), runId: id(8), runName: 'Order', runKind: 'order' },
      ],
    }),
  ],
  harvests: [{ entryId: id(7), runId: id(6), flush: 1, at: '2026-11-25T10:00:00.000Z', massG: 2500 }],
};

describe('lot records as EPCIS 2.0', () => {
  const document = epcisDocument(records) as { epcisBody: { eventList: Record<string, unknown>[] } };
  const { eventList } = document.epcisBody;

  it('hold every kind of event', () => {
    const kinds = new Set(eventList.map(({ type, action, bizStep }) => `${type} ${action ?? ''} ${bizStep}`));
    expect([...kinds].sort()).toEqual([
      'ObjectEvent ADD commissioning',
      'ObjectEvent ADD receiving',
      'ObjectEvent DELETE decommissioning',
      'ObjectEvent DELETE destroying',
      'ObjectEvent OBSERVE inspecting',
      'ObjectEvent OBSERVE shipping',
      'TransformationEvent  commissioning',
    ]);
  });

  it('let a whole jar for an order leave as itself, and grams of an opened one as grams; neither is made into anything', () => {
    const shipped = eventList.filter(({ bizStep }) => bizStep === 'shipping');
    expect(shipped.map(({ epcList, quantityList, disposition }) => ({ epcList, quantityList, disposition }))).toEqual([
      { epcList: [`urn:uuid:${id(403)}`], quantityList: undefined, disposition: 'in_transit' },
      {
        epcList: undefined,
        quantityList: [{ epcClass: `urn:uuid:${id(4)}`, quantity: 200, uom: 'GRM' }],
        disposition: 'in_transit',
      },
    ]);
    const ended = eventList.filter(({ action }) => action === 'DELETE').map(({ epcList }) => epcList);
    expect(JSON.stringify(ended)).not.toContain(id(403));
    const made = eventList.filter(({ type }) => type === 'TransformationEvent');
    expect(JSON.stringify(made)).not.toContain(id(8));
  });

  it('are valid by the schema GS1 publishes', () => {
    expect(faults(document)).toEqual([]);
  });

  it.each([
    ['an event without a time', { eventTime: undefined }],
    ['a business step of our own', { bizStep: 'inoculating' }],
    ['a disposition nobody knows', { disposition: 'green' }],
    ['an action that is none', { action: 'INVENT' }],
    ['an offset in words', { eventTimeZoneOffset: 'Vienna' }],
    [
      'a quantity in words',
      { type: 'TransformationEvent', inputQuantityList: [{ epcClass: 'urn:uuid:x', quantity: 'much' }] },
    ],
  ])('would not be with %s', (_, part) => {
    const broken = { ...document, epcisBody: { eventList: [{ ...eventList[0], ...part }] } };
    expect(faults(broken)).not.toEqual([]);
  });
});
