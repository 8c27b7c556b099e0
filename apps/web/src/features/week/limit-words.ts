import type { Week } from '@jarfold/contracts';
import { isCalendarDay } from '@jarfold/domain';
import { type MessageKey, t } from '../../messages/translate.js';
import { formatDay } from '../../ui/format/index.js';

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

/** Why a run is short, what would lift it, and the screen where that is done. */
export function limitWords(limit: Limit | null, where: string | null) {
  const words = WORDS[limit ?? 'cost'];
  const place = where === null ? '' : isCalendarDay(where) ? formatDay(where) : where;
  return {
    why: t(words.why, { where: place, known: place === '' ? 'no' : 'yes' }),
    lift: t(words.lift),
    href: words.href,
  };
}
