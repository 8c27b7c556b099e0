import type { ProblemError } from '@jarfold/contracts';
import { type ArgumentMetadata, Injectable, StandardSchemaValidationPipe } from '@nestjs/common';
import type { StandardSchemaV1 } from '@standard-schema/spec';
import { InvalidInput } from './problem-from-error.js';
import { unstorableTexts } from './unstorable-text.js';

/** More than this many errors are counted, not listed: the list is made by whoever sent the input. */
const LISTED_ERRORS = 100;

type Place = ProblemError['in'];

/**
 * The framework's standard-schema pipe, whose refusal says where each wrong value stood: in the body, the query or the
 * path, and there by JSON Pointer.
 */
@Injectable()
export class InputPipe extends StandardSchemaValidationPipe {
  override async transform<T>(value: T, metadata: ArgumentMetadata): Promise<T> {
    const { schema } = metadata;
    if (!schema || !this.toValidate(metadata)) return value;
    const place = placeOf(metadata);
    const base = metadata.data === undefined ? [] : [metadata.data];
    const unstorable = unstorableTexts(value).map((path) => unstorableAt([...base, ...path], place));
    if (unstorable.length > 0) throw new InvalidInput(shortened(unstorable, place));
    const result = await this.validate(value, schema, this.validateOptions);
    if (!result.issues) return result.value as T;
    const errors = result.issues.flatMap((issue) => errorsOf(issue, place, base));
    throw new InvalidInput(shortened(errors, place));
  }
}

function placeOf({ type }: ArgumentMetadata): Place {
  if (type === 'param') return 'path';
  return type === 'query' ? 'query' : 'body';
}

function unstorableAt(path: readonly PropertyKey[], place: Place): ProblemError {
  const detail = 'This text holds a zero character or half a character, which cannot be kept; remove it.';
  return { in: place, pointer: jsonPointer(path.map(shown)), detail };
}

/** A pointer is text too: in a key the character that cannot be kept is shown by the sign that stands for it. */
const shown = (step: PropertyKey): PropertyKey =>
  typeof step === 'string' ? step.replaceAll(/[\0\p{Cs}]/gu, '\ufffd') : step;

/** One error per issue, and one per key for keys that the schema does not know, so that each can be pointed at. */
function errorsOf(issue: StandardSchemaV1.Issue, place: Place, base: readonly PropertyKey[]): ProblemError[] {
  const path = [...base, ...(issue.path ?? []).map((step) => (typeof step === 'object' ? step.key : step))];
  const unknownKeys = (issue as { code?: unknown; keys?: unknown }).code === 'unrecognized_keys' ? keysOf(issue) : [];
  if (unknownKeys.length === 0) return [{ in: place, pointer: jsonPointer(path), detail: issue.message }];
  return unknownKeys.map((key) => ({
    in: place,
    pointer: jsonPointer([...path, key]),
    detail: 'This field is not known here; remove it or check its spelling.',
  }));
}

function keysOf(issue: object): readonly string[] {
  const { keys } = issue as { keys?: unknown };
  return Array.isArray(keys) ? keys.map(String) : [];
}

function shortened(errors: readonly ProblemError[], place: Place): readonly ProblemError[] {
  if (errors.length <= LISTED_ERRORS) return errors;
  const rest = errors.length - LISTED_ERRORS;
  return [...errors.slice(0, LISTED_ERRORS), { in: place, pointer: '', detail: `And ${rest} more.` }];
}

/** RFC 6901: `~` is written ~0 and `/` is written ~1; the empty pointer is the whole. */
export function jsonPointer(path: readonly PropertyKey[]): string {
  return path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
}
