export { DevicesService, notEnrolled, type ResolvedDevice } from './devices.service.js';
export { type PinSecrets, secretsOfPin } from './pin-hash.js';
