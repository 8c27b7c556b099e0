export { CurrentContext, CurrentDevice, CurrentSessionId, SignedInOn } from './current-context.js';
export { Operation, type OperationContract } from './operation.js';
export { IfMatchRevision } from './revision.js';
