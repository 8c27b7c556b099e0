import { describe, expect, it } from '@jest/globals';
import type { ArgumentMetadata } from '@nestjs/common';
import { z } from 'zod';
import { InputPipe, jsonPointer } from './input-pipe.js';
import { InvalidInput } from './problem-from-error.js';

const schema = z.strictObject({ jars: z.array(z.strictObject({ grams: z.number() })) });

async function errorsFor(value: unknown, metadata: Partial<ArgumentMetadata>) {
  const refusal = await new InputPipe()
    .transform(value, { type: 'body', schema, ...metadata } as ArgumentMetadata)
    .catch((error: unknown) => error);
  if (!(refusal instanceof InvalidInput)) throw new Error('was accepted');
  return refusal.errors;
}

describe('input that does not fit', () => {
  it('is pointed at by JSON Pointer, each place on its own', async () => {
    const errors = await errorsFor({ jars: [{ grams: 1 }, { grams: 'two' }, {}] }, {});
    expect(errors.map(({ in: place, pointer }) => [place, pointer])).toEqual([
      ['body', '/jars/1/grams'],
      ['body', '/jars/2/grams'],
    ]);
  });

  it('names every key that is not known', async () => {
    const errors = await errorsFor({ jars: [{ grams: 1, colour: 'x', 'a/b~c': 1 }] }, {});
    expect(errors.map(({ pointer }) => pointer)).toEqual(['/jars/0/colour', '/jars/0/a~1b~0c']);
  });

  it('says path or query and the name where it was not the body', async () => {
    const id = z.uuid();
    expect(await errorsFor('7', { type: 'param', data: 'jarId', schema: id })).toMatchObject([
      { in: 'path', pointer: '/jarId' },
    ]);
    expect(await errorsFor('7', { type: 'query', data: 'after', schema: id })).toMatchObject([
      { in: 'query', pointer: '/after' },
    ]);
  });

  it('lists a hundred errors of a flood and counts the rest', async () => {
    const errors = await errorsFor({ jars: Array.from({ length: 5_000 }, () => ({})) }, {});
    expect(errors).toHaveLength(101);
    expect(errors[100]?.detail).toBe('And 4900 more.');
  });

  it('writes ~ and / in a pointer as RFC 6901 section 3 says', () => {
    expect(jsonPointer(['a/b', 'm~n', 0, ''])).toBe('/a~1b/m~0n/0/');
    expect(jsonPointer([])).toBe('');
  });
});
