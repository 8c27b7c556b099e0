import type { Farm, OldSheetsPreview, TableMappingJson } from '@jarfold/contracts';
import { fieldSpec, type SheetState, sheetStates, type WordField, type WordMeaning, wordFields } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { SHEET_STATE_WORDS } from './field-words.js';

/** Something of the farm a word can stand for. */
export interface WordOption {
  readonly value: string;
  readonly label: string;
  readonly meaning: WordMeaning;
}

/** A run as choosing one needs it. */
export interface RunToChoose {
  readonly id: string;
  readonly name: string;
  readonly shown: string;
}

/** What a word of a field can stand for: the farm's own things, and runs of the same file. */
export function wordOptions(
  field: WordField,
  farm: Farm,
  preview: OldSheetsPreview,
  runs: readonly RunToChoose[],
): readonly WordOption[] {
  switch (field) {
    case 'strain':
      return inUse(farm.strains).map(({ id, code, name }) => known(id, t('oldSheets.strainOption', { code, name })));
    case 'size':
      return inUse(farm.sizes).map(({ id, name }) => known(id, name));
    case 'state':
      return sheetStates.map((state: SheetState) => known(state, t(SHEET_STATE_WORDS[state])));
    case 'place':
      return inUse(farm.shelves).map(({ id, name, roomId }) =>
        known(id, t('oldSheets.shelfOption', { room: roomName(farm, roomId), shelf: name })),
      );
    case 'run':
      return [...runsOfFile(preview), ...runs.map(({ id, shown }) => known(id, shown))];
  }
}

const known = (id: string, label: string): WordOption => ({ value: id, label, meaning: { to: 'known', id } });

const inUse = <T extends { readonly archived: boolean }>(things: readonly T[]) =>
  things.filter(({ archived }) => !archived);

const roomName = (farm: Farm, id: string) => farm.rooms.find((room) => room.id === id)?.name ?? '';

function runsOfFile({ tables, mapping }: OldSheetsPreview): readonly WordOption[] {
  const named = new Set(
    Object.values(mapping)
      .flatMap(({ words }) => Object.values(words.run ?? {}))
      .flatMap((meaning) => (meaning.to === 'run-in-file' ? [meaning.name] : [])),
  );
  const sampled = tables
    .filter(({ key }) => mapping[key]?.use === 'runs')
    .flatMap(({ key, columns, sample }) => {
      const at = columns.findIndex(({ column }) => mapping[key]?.columns[String(column)] === 'run');
      return at < 0 ? [] : sample.flatMap(({ shows }) => shows[at] ?? []);
    });
  return [...new Set([...sampled, ...named])]
    .filter((name) => name !== '')
    .map((name) => ({
      value: `file:${name}`,
      label: t('oldSheets.runInFile', { name }),
      meaning: { to: 'run-in-file', name },
    }));
}

/** How a meaning is called in a list of choices. */
export function optionOf(meaning: WordMeaning): string {
  switch (meaning.to) {
    case 'known':
      return meaning.id;
    case 'run-in-file':
      return `file:${meaning.name}`;
    case 'leave-out':
      return 'leave-out';
    default:
      return 'made-new';
  }
}

export interface KnownWord {
  readonly table: string;
  readonly field: WordField;
  readonly word: string;
}

/** Words of a table that have a meaning, to be looked at and changed. */
export function knownWords(table: string, { use, columns, forAllRows, words }: TableMappingJson): readonly KnownWord[] {
  if (use === 'leave-out') return [];
  const mapped = new Set<string>([...Object.values(columns), ...Object.keys(forAllRows)]);
  return wordFields
    .filter((field) => mapped.has(field) && fieldSpec(use, field)?.reading === 'words')
    .flatMap((field) => Object.keys(words[field] ?? {}).map((word) => ({ table, field, word })));
}
