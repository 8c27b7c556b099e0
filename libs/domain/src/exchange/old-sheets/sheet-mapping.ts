import type { Carrier, ContainerForm } from '../../bench/index.js';
import type { CalendarDay } from '../../calendar/calendar-day.js';
import type { SheetField, SheetUnit, TableUse } from './sheet-fields.js';
import type { DayCount, DayOrder } from './written-day.js';
import type { DecimalMark } from './written-number.js';

/** What becomes of a jar's state in the farm's own words. */
export const sheetStates = [
  'incubating',
  'ripe',
  'chilled',
  'opened',
  'used-up',
  'contaminated',
  'discarded',
  'aged-out',
  'broken',
] as const;
export type SheetState = (typeof sheetStates)[number];

/** States in which a jar is gone. */
export const goneStates: ReadonlySet<SheetState> = new Set([
  'used-up',
  'contaminated',
  'discarded',
  'aged-out',
  'broken',
]);

/** Fields whose words are matched with the farm's own. */
export type WordField = 'strain' | 'size' | 'state' | 'place' | 'run';
export const wordFields: readonly WordField[] = ['strain', 'size', 'state', 'place', 'run'];

/** What a word of the file stands for. `known` names a strain, size, shelf or run of the farm by id, or a state. */
export type WordMeaning =
  | { readonly to: 'known'; readonly id: string }
  | { readonly to: 'new-strain'; readonly code: string; readonly name: string; readonly speciesKey: string }
  | {
      readonly to: 'new-size';
      readonly name: string;
      readonly volumeMl: number;
      readonly container: ContainerForm;
      readonly carrier: Carrier;
    }
  | { readonly to: 'new-room'; readonly name: string; readonly kind: 'incubation' | 'cold' | 'fruiting' | 'prep' }
  /** A run of a table of runs in the same file, by its name. */
  | { readonly to: 'run-in-file'; readonly name: string }
  /** Rows with this word are left out; of a place: the jar stands nowhere in particular. */
  | { readonly to: 'leave-out' };

/** What a column is for: one of the fields, or nothing. */
export type ColumnUse = SheetField | 'leave-out';

/** How one table of a file is to be understood. Null is a question that is still open. */
export interface TableMapping {
  readonly use: TableUse | 'leave-out';
  /** By column number. */
  readonly columns: Readonly<Record<string, ColumnUse>>;
  /** What counts for rows that say nothing themselves, as one would write it into a cell. */
  readonly forAllRows: Readonly<Partial<Record<SheetField, string>>>;
  readonly units: Readonly<Partial<Record<SheetField, SheetUnit>>>;
  readonly decimalMark: DecimalMark | null;
  readonly dayOrder: DayOrder | null;
  /** What plain numbers in a column of days count from. */
  readonly dayCount: DayCount | null;
  /** By field, then by the word in small letters. */
  readonly words: Readonly<Partial<Record<WordField, Readonly<Record<string, WordMeaning>>>>>;
}

/** By the table's key. */
export type SheetMapping = Readonly<Record<string, TableMapping>>;

/** What the farm has, as far as reading a file needs it. */
export interface FarmFacts {
  readonly today: CalendarDay;
  readonly strains: readonly {
    readonly id: string;
    readonly code: string;
    readonly name: string;
    readonly daysToRipe: number;
  }[];
  readonly sizes: readonly {
    readonly id: string;
    readonly name: string;
    readonly volumeMl: number;
    readonly container: ContainerForm;
    readonly carrier: Carrier;
  }[];
  readonly shelves: readonly { readonly id: string; readonly room: string; readonly shelf: string }[];
  readonly runs: readonly { readonly id: string; readonly name: string; readonly day: CalendarDay }[];
  /** Usual days to ripe of a species, for strains that are made with the file. */
  readonly daysToRipeOf: (speciesKey: string) => number;
}

/** Something only the farm can say. Nothing is brought in while one is open. */
export interface SheetQuestion {
  readonly table: string;
  readonly about: 'day-order' | 'decimal-mark' | 'day-count' | 'unit' | 'word' | 'missing-field';
  readonly field: SheetField | null;
  /** The word that nobody knows yet; null for other questions. */
  readonly word: string | null;
  /** Rows with it. */
  readonly rows: number;
  /** Cells the question comes from, with what they could mean. */
  readonly examples: readonly { readonly cell: string; readonly shows: string; readonly readings: readonly string[] }[];
  /** What other cells of the table speak for; never taken without being said. */
  readonly suggestion: string | null;
}
