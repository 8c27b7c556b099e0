import type { TraceDraw, TraceHarvest, TraceLot, TraceRecords } from './trace-records.js';

/**
 * Lot records as an EPCIS 2.0 document: what was made from what, looked at, used up, shipped and thrown away.
 *
 * Things are named by `urn:uuid:` addresses (RFC 9562), since a small farm has no company prefix of its own; masses are
 * in grams (`GRM`, UN/CEFACT recommendation 20).
 * Source: GS1 EPCIS 2.0.1, sections 7.3 (core event types) and 10 (JSON-LD binding); Core Business Vocabulary 2.0,
 * sections 7.1 (business steps) and 7.2 (dispositions).
 */
export function epcisDocument(records: TraceRecords): Readonly<Record<string, unknown>> {
  const events = [
    ...records.lots.flatMap((lot) => lotEvents(lot, records)),
    ...records.harvests.map((harvest) => harvestEvent(harvest, records)),
  ].sort((a, b) => a.eventTime.localeCompare(b.eventTime) || a.eventID.localeCompare(b.eventID));
  return {
    '@context': ['https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld'],
    type: 'EPCISDocument',
    schemaVersion: '2.0',
    creationDate: records.madeAt,
    epcisBody: { eventList: events },
  };
}

const urn = (id: string) => `urn:uuid:${id}`;

type Event = Readonly<Record<string, unknown>> & { readonly eventTime: string; readonly eventID: string };

function lotEvents(lot: TraceLot, records: TraceRecords): Event[] {
  return [
    madeEvent(lot, records),
    ...findingEvents(lot, records),
    ...drawEvents(lot, records),
    ...goneEvents(lot, records),
  ];
}

/** Inoculated from mothers: a transformation. Received or made of nothing on record: the jars begin to exist. */
function madeEvent(lot: TraceLot, records: TraceRecords): Event {
  const made = lot.jars.map(({ id }) => urn(id));
  const frame = frameOf(lot.madeAt, lot.id, records);
  if (lot.mothers.length === 0) {
    const bizStep = lot.origin === 'received' ? 'receiving' : 'commissioning';
    return { type: 'ObjectEvent', ...frame, action: 'ADD', bizStep, disposition: 'active', epcList: made };
  }
  return {
    ...{ type: 'TransformationEvent', ...frame },
    inputEPCList: lot.mothers.map(({ id }) => urn(id)),
    outputEPCList: made,
    transformationID: urn(lot.id),
    ...{ bizStep: 'commissioning', disposition: 'in_progress' },
  };
}

function findingEvents(lot: TraceLot, records: TraceRecords): Event[] {
  const found = lot.jars.filter(({ contaminatedOn }) => contaminatedOn !== null);
  return found.map(({ id, contaminatedOn }) => ({
    ...{ type: 'ObjectEvent', ...frameOf(`${contaminatedOn}T12:00:00.000Z`, `${id}#contaminated`, records) },
    ...{ action: 'OBSERVE', bizStep: 'inspecting', disposition: 'non_sellable_other', epcList: [urn(id)] },
  }));
}

function drawEvents(lot: TraceLot, records: TraceRecords): Event[] {
  return lot.draws.map((draw) =>
    draw.runKind === 'order' ? shippedEvent(draw, lot, records) : spawnedEvent(draw, lot, records),
  );
}

/** A whole jar leaves as itself; grams out of one that was opened before leave as grams of its lot. */
function shippedEvent(draw: TraceDraw, lot: TraceLot, records: TraceRecords): Event {
  const { entryId, at, jarId, massG } = draw;
  const what = isWholeJar(draw, lot)
    ? { epcList: [urn(jarId)] }
    : { quantityList: [{ epcClass: urn(lot.id), quantity: massG, uom: 'GRM' }] };
  return {
    ...{ type: 'ObjectEvent', ...frameOf(at, `${entryId}#${jarId}`, records), action: 'OBSERVE', ...what },
    ...{ bizStep: 'shipping', disposition: 'in_transit' },
  };
}

function isWholeJar({ jarId, massG, runKind }: TraceDraw, { jars }: TraceLot): boolean {
  return runKind === 'order' && massG >= (jars.find(({ id }) => id === jarId)?.madeG ?? Number.POSITIVE_INFINITY);
}

function spawnedEvent({ entryId, at, jarId, massG, runId }: TraceDraw, lot: TraceLot, records: TraceRecords): Event {
  return {
    ...{ type: 'TransformationEvent', ...frameOf(at, `${entryId}#${jarId}`, records) },
    inputQuantityList: [{ epcClass: urn(lot.id), quantity: massG, uom: 'GRM' }],
    outputQuantityList: [{ epcClass: urn(runId) }],
    ...{ transformationID: urn(runId), bizStep: 'commissioning', disposition: 'in_progress' },
  };
}

/** A jar that was shipped is not undone here: where it ends, its new keeper knows. */
function goneEvents(lot: TraceLot, records: TraceRecords): Event[] {
  const shipped = new Set(lot.draws.flatMap((draw) => (isWholeJar(draw, lot) ? [draw.jarId] : [])));
  return lot.jars.flatMap(({ id, goneAt, goneReason }) =>
    goneAt === null || shipped.has(id)
      ? []
      : [
          {
            ...{ type: 'ObjectEvent', ...frameOf(goneAt, `${id}#gone`, records), action: 'DELETE', epcList: [urn(id)] },
            ...(goneReason === 'emptied'
              ? { bizStep: 'decommissioning', disposition: 'inactive' }
              : { bizStep: 'destroying', disposition: 'destroyed' }),
          },
        ],
  );
}

function harvestEvent({ entryId, at, runId, massG }: TraceHarvest, records: TraceRecords): Event {
  return {
    ...{ type: 'TransformationEvent', ...frameOf(at, `${entryId}#harvest`, records) },
    inputQuantityList: [{ epcClass: urn(runId) }],
    outputQuantityList: [{ epcClass: urn(entryId), quantity: massG, uom: 'GRM' }],
    ...{ transformationID: urn(runId), bizStep: 'commissioning', disposition: 'sellable_not_accessible' },
  };
}

/** When, where, and an id that stays the same when the document is made again. */
function frameOf(at: string, what: string, { growerId, offsetAt }: TraceRecords) {
  return {
    eventID: `urn:jarfold:event:${what.replaceAll('#', ':')}`,
    eventTime: at,
    eventTimeZoneOffset: offsetAt(at),
    readPoint: { id: urn(growerId) },
    bizLocation: { id: urn(growerId) },
  };
}
