export { type BalanceByState, balanceByState, type StandingOrGone } from './balance-by-state.js';
export { type AccountedJar, type JarBalance, type JarFate, jarBalance, presentFates } from './jar-balance.js';
export { type Lineage, type LineageJar, lineageOf, type Recall, type Relative, recall } from './lineage.js';
export { type Seen, type SuspectJar, type SuspicionSettings, suspicion, usualSuspicion } from './suspicion.js';
