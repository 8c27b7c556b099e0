import { cellText } from '../cell-text.js';
import type { FarmFacts, SheetState, WordField, WordMeaning } from './sheet-mapping.js';

/** For comparing words: case and spacing do not matter. */
export const wordKey = (text: string): string => cellText(text).toLowerCase();

const STATE_WORDS: Readonly<Record<SheetState, string>> = {
  incubating:
    'incubating incubation growing colonising colonizing running started new wächst inkubiert incubation pousse creciendo',
  ripe: 'ripe ready colonised colonized full done fertig reif durchwachsen prêt mûr listo maduro',
  chilled: 'chilled cold fridge refrigerated infridge stored kalt gekühlt kühlschrank froid frío',
  opened: 'opened open part partused started-using geöffnet offen angebrochen ouvert abierto',
  'used-up': 'used usedup empty emptied finished gone spawned verbraucht leer aufgebraucht utilisé vide usado vacío',
  contaminated:
    'contaminated contam contamination green mould mold mouldy moldy infected trich bacteria kontaminiert schimmel grün contaminé contaminado',
  discarded: 'discarded thrown thrownout binned tossed trash composted dumped verworfen entsorgt jeté desechado',
  'aged-out': 'agedout old tooold expired overaged überaltert périmé caducado',
  broken: 'broken cracked smashed zerbrochen kaputt cassé roto',
};

const STATES: ReadonlyMap<string, SheetState> = new Map(
  Object.entries(STATE_WORDS).flatMap(([state, words]) => words.split(' ').map((word) => [word, state as SheetState])),
);

/**
 * What a word plainly stands for on this farm: its own name or code, or a usual word for a state. Null when that is not
 * plain; a likely one is for {@link likelyMeaning} to suggest.
 */
export function plainMeaning(
  field: WordField,
  word: string,
  farm: FarmFacts,
  runsInFile: readonly string[],
): WordMeaning | null {
  const key = wordKey(word);
  if (field === 'state') {
    const state = STATES.get(key.replace(/[^\p{L}-]/gu, ''));
    return state === undefined ? null : { to: 'known', id: state };
  }
  if (field === 'run') {
    const inFile = runsInFile.find((name) => wordKey(name) === key);
    if (inFile !== undefined) return { to: 'run-in-file', name: inFile };
  }
  return only(candidates(field, farm).filter(({ names }) => names.some((name) => wordKey(name) === key)));
}

/** The one thing of the farm whose name holds the word or lies in it; null for none or several. */
export function likelyMeaning(field: WordField, word: string, farm: FarmFacts): WordMeaning | null {
  const key = wordKey(word);
  if (key.length < 3 || field === 'state') return null;
  const near = candidates(field, farm).filter(({ names }) =>
    names.some((name) => wordKey(name).includes(key) || (wordKey(name).length >= 3 && key.includes(wordKey(name)))),
  );
  return only(near);
}

interface Candidate {
  readonly id: string;
  readonly names: readonly string[];
}

const only = (found: readonly Candidate[]): WordMeaning | null =>
  found.length === 1 ? { to: 'known', id: found[0]!.id } : null;

function candidates(field: WordField, { strains, sizes, shelves, runs }: FarmFacts): readonly Candidate[] {
  switch (field) {
    case 'strain':
      return strains.map(({ id, code, name }) => ({ id, names: [code, name] }));
    case 'size':
      return sizes.map(({ id, name, volumeMl }) => ({ id, names: [name, `${volumeMl} ml`, `${volumeMl}ml`] }));
    case 'place':
      return shelves.map(({ id, room, shelf }) => ({
        id,
        names: [
          `${room} / ${shelf}`,
          `${room} ${shelf}`,
          shelf,
          ...(shelves.filter((other) => other.room === room).length === 1 ? [room] : []),
        ],
      }));
    case 'run':
      return runs.map(({ id, name }) => ({ id, names: [name] }));
    case 'state':
      return [];
  }
}
