import { ahead } from './ahead.js';
import { bench } from './bench.js';
import { conflicts } from './conflicts.js';
import { exports } from './exports.js';
import { farm } from './farm.js';
import { firstStart } from './first-start.js';
import { identity } from './identity.js';
import { labels } from './labels.js';
import { oldSheets } from './old-sheets.js';
import { people } from './people.js';
import { plan } from './plan.js';
import { preparation } from './preparation.js';
import { rates } from './rates.js';
import { recall } from './recall.js';
import { rooms } from './rooms.js';
import { runs } from './runs.js';
import { shared } from './shared.js';
import { sterilising } from './sterilising.js';
import { stock } from './stock.js';
import { trust } from './trust.js';
import { watch } from './watch.js';
import { week } from './week.js';
import { workbooks } from './workbooks.js';

/**
 * Every word on the screens, by key, in ICU message syntax: each feature keeps its own in a file named for it. The groups
 * `screen`, `command`, `field`, `column`, `state`, `coverage`, `runState`, `roomKind`, `role`, `basis`, `freshness`,
 * `entry`, `factor`, `method`, `flag`, `container` and `carrier` are names: docs/names.md lists each as trade, standard or
 * our own. The other groups are sentences.
 */
export const en = {
  ...shared,
  ...ahead,
  ...bench,
  ...conflicts,
  ...exports,
  ...farm,
  ...firstStart,
  ...identity,
  ...labels,
  ...oldSheets,
  ...people,
  ...plan,
  ...preparation,
  ...rates,
  ...recall,
  ...rooms,
  ...runs,
  ...sterilising,
  ...stock,
  ...trust,
  ...watch,
  ...week,
  ...workbooks,
} as const;
