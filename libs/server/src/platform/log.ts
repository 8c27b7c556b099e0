/** One line of JSON per event on standard output, or standard error for warnings and errors. */
export type LogLevel = 'debug' | 'info' | 'warn' | 'error';

export interface Log {
  debug(event: string, fields?: LogFields): void;
  info(event: string, fields?: LogFields): void;
  warn(event: string, fields?: LogFields): void;
  error(event: string, fields?: LogFields): void;
  /** A log whose every line carries these fields. */
  with(fields: LogFields): Log;
}

export type LogFields = Readonly<Record<string, unknown>>;

export interface LogOptions {
  readonly level?: LogLevel;
  readonly write?: (line: string, level: LogLevel) => void;
  readonly now?: () => Date;
}

const ORDER: Readonly<Record<LogLevel, number>> = { debug: 10, info: 20, warn: 30, error: 40 };
/** Values under such names never reach a log. */
const SECRET = /pass(word|phrase)?|secret|token|cookie|authorization|credential|api.?key|hash|email|pin$/i;
const URL_PASSWORD = /(\b[a-z][a-z0-9+.-]*:\/\/[^\s:/@]*:)[^\s@/]+@/gi;
const LONGEST_TEXT = 4_000;
const DEEPEST = 6;

export function createLog(options: LogOptions = {}, base: LogFields = {}): Log {
  const least = ORDER[options.level ?? 'info'];
  const write = options.write ?? writeToStreams;
  const now = options.now ?? (() => new Date());
  const emit =
    (level: LogLevel) =>
    (event: string, fields: LogFields = {}) => {
      if (ORDER[level] < least) return;
      const line = { time: now().toISOString(), level, event, ...(redact({ ...base, ...fields }, 0) as object) };
      write(JSON.stringify(line), level);
    };
  return {
    debug: emit('debug'),
    info: emit('info'),
    warn: emit('warn'),
    error: emit('error'),
    with: (fields) => createLog(options, { ...base, ...fields }),
  };
}

function writeToStreams(line: string, level: LogLevel): void {
  const stream = ORDER[level] >= ORDER.warn ? process.stderr : process.stdout;
  stream.write(`${line}\n`);
}

function redact(value: unknown, depth: number): unknown {
  if (typeof value === 'string') return redactText(value);
  if (typeof value === 'bigint') return value.toString();
  if (value instanceof Error) return redactError(value, depth);
  if (value instanceof Date) return value.toISOString();
  if (typeof value !== 'object' || value === null) return value;
  if (ArrayBuffer.isView(value)) return `[${value.byteLength} bytes]`;
  if (depth >= DEEPEST) return '[deeper]';
  if (Array.isArray(value)) return value.map((item) => redact(item, depth + 1));
  return Object.fromEntries(
    Object.entries(value).map(([key, item]) => [key, SECRET.test(key) ? '[redacted]' : redact(item, depth + 1)]),
  );
}

function redactText(text: string): string {
  const clean = text.replace(URL_PASSWORD, '$1[redacted]@');
  return clean.length > LONGEST_TEXT ? `${clean.slice(0, LONGEST_TEXT)}…` : clean;
}

function redactError(error: Error, depth: number): unknown {
  const code = (error as { code?: unknown }).code;
  return {
    name: error.name,
    message: redactText(error.message),
    ...(code === undefined ? {} : { code }),
    ...(error.stack === undefined ? {} : { stack: redactText(error.stack) }),
    ...(error.cause === undefined || depth >= DEEPEST ? {} : { cause: redact(error.cause, depth + 1) }),
  };
}

/** The process's own log; JARFOLD_LOG_LEVEL sets what it leaves out. */
export const log: Log = createLog({ level: levelFromEnvironment() });

function levelFromEnvironment(): LogLevel {
  const level = process.env.JARFOLD_LOG_LEVEL ?? '';
  return level in ORDER ? (level as LogLevel) : 'info';
}
