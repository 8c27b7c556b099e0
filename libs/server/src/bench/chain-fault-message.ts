import type { ChainFault } from './chain.js';

export function chainFaultMessage({ kind, position }: ChainFault): string {
  switch (kind) {
    case 'missing':
      return `Entry ${position} is missing. Restore the log from a backup made before it was lost.`;
    case 'content-changed':
      return `Entry ${position} is not what was recorded. Compare it with a backup.`;
    case 'link-broken':
      return `Entry ${position} does not follow the entry before it. Compare the log with a backup.`;
    case 'head-differs':
      return `The log ends at entry ${position} in another way than its counter says. Compare it with a backup.`;
  }
}
