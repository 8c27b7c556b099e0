import type { WatchJson } from '@jarfold/contracts';
import type { MessageKey } from '../../messages/translate.js';
import { recallHref } from '../recall/recall-href.js';

type Kind = WatchJson['items'][number]['kind'];

export const FLAG_WORDS = {
  'ageing-out': 'flag.ageingOut',
  stranded: 'flag.stranded',
  'contamination-shift': 'flag.contamination',
  'bad-mother': 'flag.badMother',
  'few-mothers': 'flag.fewMothers',
  'cycle-departed': 'flag.cycle',
  'slow-lot': 'flag.slowLot',
} as const satisfies Record<Kind, MessageKey>;

/** Where a code of a flag leads: to the cycle, the rates, the strain, or the jar and its relatives on the map. */
export function flagHref(kind: Kind, code: string): string {
  switch (kind) {
    case 'cycle-departed':
      return `/sterilising?cycle=${encodeURIComponent(code)}`;
    case 'contamination-shift':
      return '/rates/contamination';
    case 'few-mothers':
      return '/stock';
    default:
      return recallHref({ code });
  }
}

/** The screen where the best action is taken, when it is another than where the code leads. */
export function goHref(kind: Kind): { readonly href: string; readonly words: MessageKey } | null {
  switch (kind) {
    case 'ageing-out':
    case 'stranded':
      return { href: '/runs', words: 'watch.go.runs' };
    case 'contamination-shift':
    case 'bad-mother':
      return { href: '/rates/contamination', words: 'watch.go.rates' };
    case 'slow-lot':
      return { href: '/rates/growth', words: 'watch.go.growth' };
    default:
      return null;
  }
}
