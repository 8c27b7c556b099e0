/** What a table of an old spreadsheet can hold. */
export type TableUse = 'jars' | 'runs' | 'harvests';
export const tableUses: readonly TableUse[] = ['jars', 'runs', 'harvests'];

/** What a column can say; `note` keeps its words beside the jar or run. */
export const sheetFields = [
  'code',
  'lot',
  'count',
  'strain',
  'generation',
  'size',
  'state',
  'place',
  'madeOn',
  'ripeOn',
  'chilledOn',
  'openedOn',
  'goneOn',
  'gramsLeft',
  'mother',
  'supplier',
  'temperature',
  'run',
  'day',
  'substrate',
  'spawnRate',
  'mass',
  'flush',
  'note',
] as const;
export type SheetField = (typeof sheetFields)[number];

/** How the cells of a field are read. `words` are matched with the farm's own names. */
export type FieldReading = 'text' | 'words' | 'day' | 'mass' | 'temperature' | 'whole' | 'percent';

export interface FieldSpec {
  readonly reading: FieldReading;
  /** A row without it is refused. */
  readonly required: boolean;
  /** Whether one value may stand for all rows. */
  readonly forAllRows: boolean;
  /** Headings people give such a column, in small letters without anything but letters, digits and %. */
  readonly headings: readonly string[];
}

type Specs<F extends SheetField> = Readonly<Record<F, FieldSpec>>;

const spec = (
  reading: FieldReading,
  headings: string,
  { required = false, forAllRows = false }: { readonly required?: boolean; readonly forAllRows?: boolean } = {},
): FieldSpec => ({ reading, required, forAllRows, headings: headings.split(' ') });

const note = spec('text', 'note notes remark remarks comment comments bemerkung notiz notizen commentaire nota notas');
const strain = spec(
  'words',
  'strain strains species variety mushroom culture kind sorte stamm art pilz souche espèce cepa especie variedad',
  { required: true, forAllRows: true },
);

const JARS = {
  code: spec(
    'text',
    'code jar jarcode jarno jarnumber jarid id number no nr label tag glas glasnr bocal código frasco',
  ),
  lot: spec('text', 'lot lotcode lotno batch batchno batchcode batchid charge los partie lote'),
  count: spec('whole', 'count jars pieces qty quantity numberofjars howmany pcs anzahl stück menge nombre cantidad'),
  strain,
  generation: spec('whole', 'generation gen g passage transfer génération generación', {
    required: true,
    forAllRows: true,
  }),
  size: spec('words', 'size jarsize container vessel volume vol größe grösse groesse gefäß format taille tamaño', {
    required: true,
    forAllRows: true,
  }),
  state: spec('words', 'state status condition stage zustand stand état etat estado', {
    required: true,
    forAllRows: true,
  }),
  place: spec('words', 'place room shelf location where stands rack fridge ort raum regal lieu étagère lugar estante', {
    forAllRows: true,
  }),
  madeOn: spec(
    'day',
    'madeon made date day inoculated inoculatedon inoculation inoculationdate started startedon datemade made/on datum beimpft beimpftam beimpfung angesetzt inoculé fecha inoculado',
    { required: true, forAllRows: true },
  ),
  ripeOn: spec(
    'day',
    'ripeon ripe ready readyon colonised colonisedon colonized colonizedon full fullon reif reifam mûr listo',
  ),
  chilledOn: spec(
    'day',
    'chilledon chilled cold coldsince infridge fridgeon infridgesince refrigerated gekühlt gekühltseit imkühlschrankseit',
  ),
  openedOn: spec('day', 'openedon opened geöffnet geöffnetam ouvertle abierto'),
  goneOn: spec(
    'day',
    'goneon usedon used useddate emptied emptiedon discardedon thrownout binned finished finishedon verbraucht verbrauchtam utilisé usado',
    { forAllRows: true },
  ),
  gramsLeft: spec(
    'mass',
    'gramsleft grams left weight mass spawn spawnweight spawnleft net netweight remaining gewicht rest inhalt poids peso',
  ),
  run: spec('words', 'run bulkrun usedin usedfor usedforrun spawnedto block für verwendetfür'),
  mother: spec('text', 'mother motherjar parent source from mutter muttergalas mutterglas mère madre'),
  supplier: spec('text', 'supplier bought boughtfrom vendor lieferant von fournisseur proveedor'),
  temperature: spec('temperature', 'temperature temp incubationtemperature incubationtemp temperatur température'),
  note,
} as const satisfies Partial<Specs<SheetField>>;

const RUNS = {
  run: spec('text', 'run bulkrun runname name block bulk ansatz durchgang lot batch lotno', { required: true }),
  day: spec('day', 'day date spawned spawnedon spawningdate made madeon datum tag date/spawned fecha', {
    required: true,
  }),
  strain,
  substrate: spec('mass', 'substrate substratekg wetmass wet wetweight bulkweight mass weight substrat gewicht poids', {
    required: true,
  }),
  spawnRate: spec('percent', 'spawnrate rate spawn% spawn rate% impfrate impfmenge taux'),
  note,
} as const satisfies Partial<Specs<SheetField>>;

const HARVESTS = {
  run: spec('words', 'run bulkrun runname block bulk batch lot ansatz durchgang', { required: true, forAllRows: true }),
  day: spec('day', 'day date harvested harvestedon picked pickedon harvestdate pick datum geerntet erntetag fecha', {
    required: true,
  }),
  mass: spec('mass', 'mass weight harvest harvested yield picked grams fresh freshweight ertrag ernte gewicht poids', {
    required: true,
  }),
  flush: spec('whole', 'flush wave break welle flushno volée oleada', { required: true, forAllRows: true }),
} as const satisfies Partial<Specs<SheetField>>;

/** The columns a table of each use can have, in the order in which guesses are made. */
export const fieldsOf: Readonly<Record<TableUse, Readonly<Partial<Record<SheetField, FieldSpec>>>>> = {
  jars: JARS,
  runs: RUNS,
  harvests: HARVESTS,
};

/** What is read of a field in a table of a use; undefined for a field such a table does not have. */
export function fieldSpec(use: TableUse, field: SheetField): FieldSpec | undefined {
  return fieldsOf[use][field];
}

export const massUnits = ['g', 'kg', 'lb', 'oz'] as const;
export const temperatureUnits = ['C', 'F'] as const;
export type MassUnit = (typeof massUnits)[number];
export type TemperatureUnit = (typeof temperatureUnits)[number];
export type SheetUnit = MassUnit | TemperatureUnit;

/** Units a field may be written in; none for a field that has no unit. */
export function unitsOf({ reading }: FieldSpec): readonly SheetUnit[] {
  if (reading === 'mass') return massUnits;
  return reading === 'temperature' ? temperatureUnits : [];
}
