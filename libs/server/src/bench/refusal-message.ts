import type { RefusalCode } from '@jarfold/domain';
import type { Remark } from './rows.js';

type Sentence = (details: Readonly<Record<string, unknown>>) => string;

/** What stands in the way and what to do about it, by reason. English; screens translate by the code. */
const SENTENCES: Readonly<Record<RefusalCode, Sentence>> = {
  'unknown-jar': ({ id }) => `No jar ${id} is known on this farm. If its making was refused, settle that entry first.`,
  'unknown-lot': ({ id }) => `No lot ${id} is known on this farm. If its making was refused, settle that entry first.`,
  'unknown-grain-batch': ({ id }) => `No grain batch ${id} is known. Name the grain in the first entry of a batch.`,
  'unknown-cycle': ({ id }) => `No steriliser cycle ${id} is known. Log its start first.`,
  'unknown-strain': ({ strainId }) => `No strain ${strainId} is known on this farm. Add the strain first.`,
  'unknown-size': ({ sizeId }) => `No jar size ${sizeId} is known on this farm. Add the size first.`,
  'unknown-shelf': ({ shelfId }) => `No shelf ${shelfId} is known on this farm. Choose another place.`,
  'unknown-run': ({ runId }) => `No bulk run ${runId} is known on this farm. Choose another run.`,
  'unknown-staff': ({ staffId }) => `Nobody with the id ${staffId} works on this farm. Choose who did it.`,
  'unknown-entry': ({ entryId }) => `No entry ${entryId} is known on this farm, so it cannot be corrected.`,
  'id-already-used': ({ id }) => `The id ${id} names something that exists already. Make a new id.`,
  'code-already-used': ({ code }) => `The code ${code} is on another jar or lot. Give this one another code.`,
  'jar-twice-in-entry': ({ id, serial }) =>
    id === undefined ? `The number ${serial} is given to two jars of the lot.` : `The jar ${id} is named twice.`,
  'jar-gone': ({ code, goneAs, goneOn }) => `${code} was ${goneAs} on ${goneOn}. If that was a slip, correct it first.`,
  'draw-below-zero': ({ code, leftG, askedG }) =>
    `${code} holds ${leftG} g by the books, ${askedG} g were drawn. Weigh it, draw less, or take another jar.`,
  'nothing-left-to-draw': ({ code, leftG }) => `${code} holds ${leftG} g, too little for that. Draw all of it instead.`,
  'blank-holds-no-spawn': ({ code }) => `${code} is a blank and was never inoculated: it holds no spawn.`,
  'mother-of-other-strain': ({ code }) =>
    `${code} is of another strain than the new lot. Check the mother or the strain.`,
  'mother-not-in-entry': ({ motherJarId }) => `The jar ${motherJarId} is named as a mother but gave nothing here.`,
  'cycle-already-ended': () => 'This steriliser cycle has ended already. If that was a slip, correct it first.',
  'entry-was-refused': ({ entryId }) => `The entry ${entryId} was refused and changed nothing: nothing to correct.`,
  'already-corrected': ({ entryId }) => `The entry ${entryId} has been taken back already.`,
  'entry-not-refused': ({ entryId }) => `The entry ${entryId} was not refused: there is nothing to settle.`,
  'already-settled': ({ entryId }) => `The refused entry ${entryId} has been settled already.`,
  'not-yours-to-settle': () => 'A refused entry is settled by a lead, or by the person who made it.',
  'later-entry-in-the-way': ({ entryId, kind }) =>
    `A later entry (${kind}, ${entryId}) cannot stand without this one. Correct that one first.`,
  malformed: ({ pointer, detail }) =>
    `The entry cannot be read${pointer ? ` at ${pointer}` : ''}: ${String(detail).replace(/\.$/, '')}.`,
  'not-storable': () => 'The entry holds a value that cannot be stored. Check its numbers and send it anew.',
};

export function refusalMessage(reason: string, obstacles: readonly Remark[]): string {
  const sentence = (SENTENCES as Readonly<Record<string, Sentence>>)[reason];
  const first = obstacles.find(({ code }) => code === reason) ?? obstacles[0];
  const more = obstacles.length > 1 ? ` (and ${obstacles.length - 1} more)` : '';
  return sentence ? `${sentence(first?.details ?? {})}${more}` : `Refused: ${reason}.`;
}
