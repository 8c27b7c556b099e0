import { type Confidence, everyPublishedValue, type SourceKey, sources } from '@jarfold/domain';

const marks: Readonly<Record<Confidence, string>> = {
  read: 'the figure was read in the publication’s own text (often its abstract or one table)',
  copy: 'read in a text that reproduces the publication; check against the original before relying on it',
  memory: 'recalled from the publication, not checked',
  'common practice': 'customary in the trade; no publication was found',
};

/** Where the mathematics come from: standards and worked examples, each checked by a test. */
const methods: readonly (readonly [what: string, source: string, test: string])[] = [
  ['saturated steam', 'IAPWS-IF97 region 4, tables 35 and 36 (read)', 'steam'],
  ['air pressure at altitude', 'U.S. Standard Atmosphere 1976 (two values read, table from memory)', 'steam'],
  ['dial gauge rule', 'USDA Complete Guide to Home Canning; PNW 421 (read)', 'steam'],
  ['F0, D and z', 'low-acid food practice; lethal rates of Stobo 1973 and Pistolesi and Mascherpa (read)', 'steam'],
  ['growth against temperature', 'Rosso and others 1995 (formula read in two R packages)', 'growth'],
  ['biological efficiency', 'Jatwa 2016; Horticulturae 2025; PMC7407021; Studies in Fungi 2023 (read)', 'yield'],
  ['grain moisture, minerals, mixtures', 'GGMM p. 128–138; ICAR; Cornell Waste Management Institute (copies)', 'grain'],
  [
    'binomial intervals',
    'Newcombe 1998; Brown, Cai, DasGupta 2001; Fagerland and others 2017; NIST 7.2.4',
    'intervals',
  ],
  ['distribution functions', 'compared with the cephes library over a grid', 'intervals'],
  ['shrinkage', 'Gelman and others, BDA3 chapter 5; Efron and Morris 1977', 'statistics, yield'],
  [
    'false discovery, exact test, regression',
    'Benjamini and Hochberg 1995; Fisher 1935; Dobson (Bliss’s beetles)',
    'statistics',
  ],
  ['control charts', 'NIST 6.3; Montgomery; Laney; Mohammed and others 2013', 'control-charts'],
  ['survival', 'Freireich (Le, example 11.1); NIST 8.4.1.3; Fay and Shaw 2010', 'survival'],
  ['forecasts', 'Hyndman and Athanasopoulos; Croston 1972; Hyndman and Koehler 2006', 'demand'],
  ['stock and lots', 'Wagner and Whitin 1958; Porteus and Gallego in SCperf; Nahmias; Cannon and Roe', 'demand'],
  ['ISO weeks', 'ISO 8601-1:2019, 4.3.5; the closed form by ordinal day and weekday (memory)', 'iso-weeks'],
  ['lot records as EPCIS 2.0', 'the JSON Schema GS1 publishes, kept unchanged with the test (read)', 'epcis'],
  ['attribution', 'no published worked example found; simulated farm-years', 'attribution'],
];

/** Things looked for and not found. */
const gaps: readonly string[] = [
  'a table of target moisture for each grain apart',
  'an open count of contaminated grain jars (k of n)',
  'a shelf life by species from a source that sells no spawn',
  'grams by flush; the usual shares are unchecked',
  'growth of cultivated species below 15 and above 30 °C',
  'a full published time-and-temperature table with its F0; ramps with a closed form are used instead',
  'a worked vector of the TSB method; it is checked by its behaviour',
];

const figure = (value: number): string => String(Number(value.toPrecision(4)));

/** The page of sources, made from the table of sources and every published value in use. */
export function sourcesPage(): string {
  const entries = everyPublishedValue();
  const used = new Set<SourceKey>(entries.map(({ published }) => published.source));
  const areas = [...new Set(entries.map(({ area }) => area))];
  const tables = areas.map((area) => {
    const rows = entries
      .filter((entry) => entry.area === area)
      .map(({ what, unit, published: { value, low, high, source, confidence, note } }) => {
        const range = low === null || high === null ? '' : `${figure(low)}–${figure(high)}`;
        return `| ${what} | ${figure(value)} | ${range} | ${unit} | ${source} | ${confidence} | ${note ?? ''} |`;
      });
    return `### ${area}\n\n| what | start | range | unit | source | mark | note |\n|---|---|---|---|---|---|---|\n${rows.join('\n')}\n`;
  });
  const keys = (Object.keys(sources) as SourceKey[]).map((key) => {
    const { by, year, title, where } = sources[key];
    return `| ${key} | ${by} | ${year ?? ''} | ${title} | ${where} | ${used.has(key) ? 'values below' : 'method, range or caution'} |`;
  });
  return `# Sources

Every published number Jarfold starts from, where it comes from, and how far it was checked. Each is a start only: a farm
replaces it strain by strain, and its own records outweigh it as they grow. This page is made from the tables in
\`libs/domain\`; a test holds the two together (JARFOLD_WRITE_DOCS=1 writes it anew).

**Marks**

${(Object.keys(marks) as Confidence[]).map((mark) => `- \`${mark}\`: ${marks[mark]}`).join('\n')}

Books are cited for figures; no wording is taken from them.

## Publications

| key | by | year | title or subject | where | used for |
|---|---|---|---|---|---|
${keys.join('\n')}

## Methods and worked examples

Each row is checked by \`tests/reference/NAME.test.ts\`, which names the source beside every value and says which were read,
recalled or computed.

| what | source | test |
|---|---|---|
${methods.map((row) => `| ${row.join(' | ')} |`).join('\n')}

## Looked for and not found

${gaps.map((gap) => `- ${gap}`).join('\n')}

## Values

${tables.join('\n')}`;
}
