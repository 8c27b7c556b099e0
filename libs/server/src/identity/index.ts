export { createGrower, type GrowerToCreate } from './grower-registration.js';
export { endSessionsOf, staffWithAccounts } from './identity-repository.js';
export { networkOf } from './network-of.js';
export { hashPassword, passwordMatches } from './password-hash.js';
export { openPinSession } from './pin-session.js';
export {
  PIN_SESSION_ABSOLUTE_MS,
  PIN_SESSION_IDLE_MS,
  SESSION_ABSOLUTE_MS,
  SESSION_IDLE_MS,
} from './session-lifetime.js';
export { type ResolvedSession, SessionService, type StaffContext } from './session-service.js';
export { hashOfToken, looksLikeToken, newSecretToken } from './session-token.js';
export { issueSetUpToken, setUpFirstGrower, setUpNeeded } from './set-up.js';
export { type Caller, type OpenedSession, signIn } from './sign-in-service.js';
export { PIN_POLICIES, TOKEN_POLICY, throttleKey } from './sign-in-throttle.js';
export { admit, clearTries, countTokenTry } from './throttle-gate.js';
