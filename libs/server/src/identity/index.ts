export { createGrower, type GrowerToCreate } from './grower-registration.js';
export { networkOf } from './network-of.js';
export { SESSION_ABSOLUTE_MS, SESSION_IDLE_MS } from './session-lifetime.js';
export { type ResolvedSession, SessionService, type StaffContext } from './session-service.js';
export { issueSetUpToken, setUpFirstGrower, setUpNeeded } from './set-up.js';
export { type Caller, type OpenedSession, signIn } from './sign-in-service.js';
export { countTokenTry } from './throttle-gate.js';
