import type { Role } from '@jarfold/contracts';
import type { MessageKey } from '../../messages/translate.js';

export const ROLE_WORDS = {
  hand: 'role.hand',
  lead: 'role.lead',
  owner: 'role.owner',
} as const satisfies Record<Role, MessageKey>;
