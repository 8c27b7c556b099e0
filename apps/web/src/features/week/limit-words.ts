import type { Week } from '@jarfold/contracts';
import { isCalendarDay } from '@jarfold/domain';
import { type MessageKey, t } from '../../messages/translate.js';
import { formatDay, houseWords } from '../../ui/format/index.js';

type Limit = NonNullable<Week['shortages'][number]['limit']>;

const WORDS = {
  time: { why: 'limit.time.why', lift: 'limit.time.lift', href: '/runs' },
  mothers: { why: 'limit.mothers.why', lift: 'limit.mothers.lift', href: '/stock' },
  generation: { why: 'limit.generation.why', lift: 'limit.generation.lift', href: '/farm' },
  bench: { why: 'limit.bench.why', lift: 'limit.bench.lift', href: '/farm' },
  steriliser: { why: 'limit.steriliser.why', lift: 'limit.steriliser.lift', href: '/farm' },
  'incubation-places': { why: 'limit.incubation.why', lift: 'limit.incubation.lift', href: '/rooms' },
  'cold-places': { why: 'limit.cold.why', lift: 'limit.cold.lift', href: '/rooms' },
  'clean-containers': { why: 'limit.clean.why', lift: 'limit.clean.lift', href: '/farm' },
  'storage-life': { why: 'limit.storage.why', lift: 'limit.storage.lift', href: '/runs' },
  culture: { why: 'limit.culture.why', lift: 'limit.culture.lift', href: '/farm' },
  cost: { why: 'limit.cost.why', lift: 'limit.cost.lift', href: '/runs' },
} as const satisfies Record<Limit, { why: MessageKey; lift: MessageKey; href: string }>;

const AN_ID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/i;

/** Why a run is short, what would lift it, and the screen where that is done. */
export function limitWords(limit: Limit, where: string | null) {
  const { why, lift, href } = WORDS[limit];
  const place = placeOf(where);
  return { why: t(why, { where: place, known: place === '' ? 'no' : 'yes' }), lift: t(lift), href };
}

/**
 * What the planner adds to the reason, days written as everywhere; nothing when it would only repeat the reason, or
 * names things by ids that only a program knows.
 */
export function planDetail(limit: Limit | null, message: string | null): string | null {
  if (message === null || limit === 'cost' || AN_ID.test(message)) return null;
  return houseWords(message);
}

function placeOf(where: string | null): string {
  if (where === null || AN_ID.test(where)) return '';
  return isCalendarDay(where) ? formatDay(where) : where;
}
