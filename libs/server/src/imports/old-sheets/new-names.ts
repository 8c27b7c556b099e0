import { type SheetMapping, type WordMeaning, wordKey } from '@jarfold/domain';
import { AppError, type GrowerTx } from '../../platform/index.js';
import { readFarmNames } from '../../stock/index.js';

/**
 * Refuses a strain, size or room that is to be made new under a code or name the farm has.
 * @throws AppError `conflict`
 */
export async function requireNewNames(tx: GrowerTx, growerId: string, mapping: SheetMapping): Promise<void> {
  const names = await readFarmNames(tx, growerId);
  const taken = {
    strain: new Set([...names.strains.values()].map(({ code }) => wordKey(code))),
    size: new Set([...names.sizes.values()].map(({ name }) => wordKey(name))),
    room: new Set([...names.rooms.values()].map(({ name }) => wordKey(name))),
  };
  for (const [key, table] of Object.entries(mapping)) {
    for (const [field, words] of Object.entries(table.words)) {
      for (const [word, meaning] of Object.entries(words ?? {})) {
        const clash = clashOf(meaning, taken);
        if (clash === null) continue;
        const pointer = `/tables/${key}/words/${field}/${word.replaceAll('~', '~0').replaceAll('/', '~1')}`;
        const detail = `The farm has a ${clash} already: choose it, or make the new one under another name.`;
        throw new AppError('conflict', detail, { errors: [{ in: 'body', pointer, detail }] });
      }
    }
  }
}

function clashOf(
  meaning: WordMeaning,
  taken: Readonly<Record<'strain' | 'size' | 'room', ReadonlySet<string>>>,
): string | null {
  if (meaning.to === 'new-strain') return taken.strain.has(wordKey(meaning.code)) ? `strain ${meaning.code}` : null;
  if (meaning.to === 'new-size') return taken.size.has(wordKey(meaning.name)) ? `size ${meaning.name}` : null;
  if (meaning.to === 'new-room') return taken.room.has(wordKey(meaning.name)) ? `room ${meaning.name}` : null;
  return null;
}
