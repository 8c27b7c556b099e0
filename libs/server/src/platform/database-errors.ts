import { AppError } from './errors.js';
import { Prisma } from './generated/client.js';

/** SQLSTATE of the database's answer, wherever Prisma put it, or null when the error is not the database's. */
export function sqlState(error: unknown): string | null {
  if (!(error instanceof Prisma.PrismaClientKnownRequestError)) return null;
  const meta = error.meta as { code?: string; driverAdapterError?: { cause?: { originalCode?: string } } } | undefined;
  return meta?.driverAdapterError?.cause?.originalCode ?? meta?.code ?? null;
}

/** What a database error means to the person who asked; null when it is a fault of ours and must surface as it is. */
function meaning(error: unknown): AppError | null {
  const prismaCode = error instanceof Prisma.PrismaClientKnownRequestError ? error.code : null;
  const state = sqlState(error);
  if (isUnreachable(error, prismaCode, state)) {
    return new AppError('unavailable', 'The database does not answer just now; try again in a few seconds.', {
      retryAfterS: 2,
    });
  }
  switch (state) {
    case '42501': // row security: the row is another grower's, or would be
    case '23503': // a parent that is missing or another grower's: the two must look alike
      return new AppError('not-found', 'Something this refers to does not exist on this farm.');
    case '23505':
      return new AppError('conflict', 'Something with the same name or code exists already; choose another.');
    case '22001': // text too long
    case '22003': // number too large
    case '22008': // day out of range
    case '23514':
      return new AppError('invalid-input', 'A value lies outside what can be stored; nothing was changed.');
    case '22021':
    case '22P05': // a character no text here can hold; the contracts refuse it first
      return new AppError('invalid-input', 'A text holds a character that cannot be stored; nothing was changed.');
    case '40001':
    case '40P01':
    case '55P03':
      return new AppError('unavailable', 'Somebody else was changing the same thing; try again.', { retryAfterS: 1 });
    default:
  }
  switch (prismaCode) {
    case 'P2025':
    case 'P2003':
      return new AppError('not-found', 'Something this refers to does not exist on this farm.');
    case 'P2002':
      return new AppError('conflict', 'Something with the same name or code exists already; choose another.');
    case 'P2028': // the transaction could not be opened in time, or ran out of it
    case 'P2034':
      return new AppError('unavailable', 'The service is busy; try again in a moment.', { retryAfterS: 1 });
    default:
      return null;
  }
}

const UNREACHABLE = ['P1001', 'P1002', 'P1008', 'P1017', 'P2024', 'P2037'];

function isUnreachable(error: unknown, prismaCode: string | null, state: string | null): boolean {
  if (error instanceof Prisma.PrismaClientInitializationError) return true;
  if (prismaCode !== null && UNREACHABLE.includes(prismaCode)) return true;
  if (state !== null && AWAY.test(state)) return true;
  return isLostConnection(error);
}

/** Kinds of trouble that Prisma's driver names but gives no code of its own. */
const LOST_KINDS = ['DatabaseNotReachable', 'ConnectionClosed', 'SocketTimeout', 'TooManyConnections'];
const LOST_CODES = ['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT', 'ENOTFOUND', 'EHOSTUNREACH'];
/** The driver below has only sentences for a connection that broke while it was used. */
const LOST_SENTENCES = /connection (error|terminated|timeout)|timeout exceeded when trying to connect|server closed/i;

/** Whether an error, of whatever layer, only says that the database is away for the moment. */
export function isConnectionTrouble(error: unknown): error is Error {
  if (error instanceof AppError) return error.code === 'unavailable';
  const { code } = error instanceof Error ? (error as Error & { code?: unknown }) : {};
  if (typeof code === 'string' && AWAY.test(code)) return true;
  return isLostConnection(error);
}

/** SQLSTATE classes: connection exception, insufficient resources, operator intervention. */
const AWAY = /^(08...|53...|57P0.)$/;

function isLostConnection(error: unknown): boolean {
  if (!(error instanceof Error) || error instanceof Prisma.PrismaClientKnownRequestError) return false;
  const { code, cause } = error as { code?: string; cause?: unknown };
  if (code !== undefined && LOST_CODES.includes(code)) return true;
  if (LOST_KINDS.includes((cause as { kind?: string } | undefined)?.kind ?? '')) return true;
  return LOST_SENTENCES.test(error.message) || isLostConnection(cause);
}

/** Turns a database error into the AppError a person can act on; anything else is returned untouched. */
export function explainDatabaseError(error: unknown): unknown {
  if (error instanceof AppError) return error;
  const explained = meaning(error);
  if (explained) explained.cause = error;
  return explained ?? error;
}
