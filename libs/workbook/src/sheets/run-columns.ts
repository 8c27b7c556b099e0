import { fractionToPercent, type SpawnRateBasis, usualMoistures } from '@jarfold/domain';
import { column, fallback, type SheetDefinition } from './column.js';
import { choice, day, name, names, number, percent, whole } from './value-kinds.js';

const bases: Readonly<Record<SpawnRateBasis, readonly string[]>> = {
  'wet/wet': ['wet-wet', 'wet on wet', 'wet to wet', 'wet'],
  'wet/dry': ['wet-dry', 'wet on dry', 'wet to dry'],
  'dry/dry': ['dry-dry', 'dry on dry', 'dry to dry', 'dry'],
};

const columns = {
  run: column('run', name, 'The name of the run. No two runs share one.', { example: 'R-26W50-1' }),
  day: column('day', day, 'Day the bulk substrate is ready and needs its spawn.', { example: '2026-12-10' }),
  strains: column(
    'strain',
    names,
    'A strain of the sheet Strains, or several that may be used: the first is preferred.',
    {
      alsoCalled: ['strains'],
      example: 'Blue oyster, Pearl oyster',
    },
  ),
  substrateWetKg: column(
    'wet kg',
    number({ min: 0.001, max: 1_000_000, unit: 'kg' }),
    'Bulk substrate as it lies there, wet, without the spawn.',
    { unit: 'kg', alsoCalled: ['substrate wet kg'], example: '120' },
  ),
  spawnRate: column('spawn rate %', percent({ min: 0.01, max: 100 }), 'Spawn per substrate; basis says of what.', {
    unit: '%',
    fallback: fallback('by species, usually 5', 'Royse 2002 and Penn State: up to 5 % of wet mass'),
    example: '5',
  }),
  basis: column(
    'basis',
    choice(bases),
    'What the spawn rate is a share of: wet spawn per wet substrate, wet per dry, or dry per dry.',
    { fallback: fallback('wet/wet', 'Royse 2002 and Penn State give wet mass'), example: 'wet/wet' },
  ),
  minShare: column(
    'minimum %',
    percent({ min: 0, max: 100 }),
    'Share of the wanted spawn below which the run counts as not covered.',
    { unit: '%', fallback: fallback('80', 'our choice'), example: '80' },
  ),
  priority: column('priority', whole({ min: 1, max: 9 }), '1 is the most important.', {
    fallback: fallback('1', 'our choice'),
    example: '1',
  }),
  maxShare: column(
    'maximum %',
    percent({ min: 100, max: 1_000 }),
    'Share of the wanted spawn that is never exceeded.',
    {
      unit: '%',
      fallback: fallback('120', 'our choice'),
      example: '110',
    },
  ),
  slackDays: column('slack days', whole({ min: 0, max: 60 }), 'Days the run may be moved later without harm.', {
    unit: 'days',
    fallback: fallback('0', 'our choice'),
    example: '1',
  }),
  substrateMoisture: column(
    'substrate moisture %',
    percent({ min: 0, max: 95 }),
    'Water in the substrate, per total mass. Used when the basis is dry.',
    {
      unit: '%',
      fallback: fallback(String(fractionToPercent(usualMoistures.substrateMoisture)), 'Vikaspedia: drained to 65 %'),
      example: '67',
    },
  ),
};

export const runSheet = {
  name: 'Runs' as const,
  meaning: 'One row for each preparation of bulk substrate the farm intends.',
  key: 'run',
  mayBeEmpty: true,
  columns,
} satisfies SheetDefinition<typeof columns>;
