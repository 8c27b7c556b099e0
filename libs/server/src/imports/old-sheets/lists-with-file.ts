import { gramsToKilograms, type RunRecord, runKey, startingShelf, type WordMeaning, wordKey } from '@jarfold/domain';
import { addRoomIn, addShelfIn, addSizeIn, addStrainIn } from '../../farm/index.js';
import type { GrowerContext, GrowerTx } from '../../platform/index.js';
import { addRunIn, changeRunIn } from '../../runs/index.js';
import { namedId } from '../named-id.js';
import type { BringInJob } from './bring-in-job.js';
import { type DryRun, newThingKey } from './dry-run.js';
import { runsHere } from './old-sheets.repository.js';

/** Told after each step how far it is; throws when it is to stop. */
export type Step = (done: number) => Promise<void>;

/** Strains, sizes, rooms and runs that come with the file; every id follows from the import. */
export async function makeLists(tx: GrowerTx, { ctx, idsFrom }: BringInJob, dry: DryRun, step: Step) {
  const { made, settled } = dry;
  const newId = (meaning: WordMeaning) => namedId([...idsFrom, newThingKey(meaning)]);
  for (const { code, name, speciesKey, to } of made.strains) {
    await addStrainIn(tx, ctx, { id: newId({ to, code, name, speciesKey }), code, name, speciesKey });
  }
  for (const size of made.sizes) await addSizeIn(tx, ctx, { id: newId(size), ...own(size) });
  for (const room of made.rooms) {
    const roomId = await addRoomIn(tx, ctx, {
      id: namedId(['room of', newId(room)]),
      name: room.name,
      kind: room.kind,
    });
    const jars = settled.lots
      .flatMap((lot) => lot.jars)
      .filter(({ record }) => record.place?.to === 'new-room' && newThingKey(record.place) === newThingKey(room));
    await addShelfIn(tx, ctx, { id: newId(room), roomId, name: 'Shelf 1', ...startingShelf(jars.length) });
  }
  const runIds = new Map<string, string>();
  const idOf = (meaning: WordMeaning): string => {
    if (meaning.to === 'known') return meaning.id;
    if (meaning.to === 'run-in-file') return runIds.get(wordKey(meaning.name)) ?? '';
    return newId(meaning);
  };
  const runs: { id: string; revision: number }[] = [];
  for (const [at, run] of settled.runs.entries()) {
    const added = await addRun(tx, ctx, namedId([...idsFrom, 'run', at]), run, idOf(run.strain));
    runs.push(added);
    runIds.set(wordKey(run.name), added.id);
    await step(at + 1);
  }
  await knownRuns(tx, ctx.growerId, dry, runIds);
  return { idOf, runs };
}

const own = ({ name, volumeMl, container, carrier }: DryRun['made']['sizes'][number]) => ({
  ...{ name, volumeMl, container, carrier },
});

/** A run of the file that the farm has already, by its name and its day, is that run. */
async function knownRuns(
  tx: GrowerTx,
  growerId: string,
  { understood }: DryRun,
  runIds: Map<string, string>,
): Promise<void> {
  const missing = understood.runs.filter(({ name }) => !runIds.has(wordKey(name)));
  if (missing.length === 0) return;
  const here = await runsHere(tx, growerId);
  for (const { name, day } of missing) {
    const id = here.get(runKey(name, day));
    if (id !== undefined) runIds.set(wordKey(name), id);
  }
}

async function addRun(tx: GrowerTx, ctx: GrowerContext, id: string, run: RunRecord, strainId: string) {
  await addRunIn(tx, ctx, {
    ...{ id, name: run.name, day: run.day, strainIds: [strainId], substrateWetKg: gramsToKilograms(run.substrateWetG) },
    ...(run.spawnRate === null ? {} : { spawnRate: run.spawnRate, basis: 'wet/wet' as const }),
    ...(run.note === null ? {} : { note: run.note }),
  });
  if (!run.done) return { id, revision: 1 };
  await changeRunIn(tx, ctx, id, 1, { state: 'done' }, run.day);
  return { id, revision: 2 };
}
