import type { Room } from '@jarfold/contracts';
import type { MessageKey } from '../../messages/translate.js';

export const ROOM_KIND_WORDS = {
  incubation: 'roomKind.incubation',
  cold: 'roomKind.cold',
  fruiting: 'roomKind.fruiting',
  prep: 'roomKind.prep',
} as const satisfies Record<Room['kind'], MessageKey>;
