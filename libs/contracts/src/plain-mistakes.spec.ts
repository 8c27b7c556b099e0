import { describe, expect, it } from '@jest/globals';
import { z } from 'zod';
import { plainMistake } from './plain-mistakes.js';

const told = (schema: z.ZodType, value: unknown): readonly string[] =>
  schema.safeParse(value, { error: plainMistake }).error?.issues.map(({ message }) => message) ?? [];

describe('a mistake in what was sent', () => {
  it.each([
    ['what is missing', z.object({ a: z.number() }), {}, 'This is needed and is missing.'],
    ['nothing for something', z.string(), null, 'Text is needed here, not nothing.'],
    ['text for a number', z.number(), 'x', 'A number is needed here.'],
    ['no number at all', z.number(), Number.NaN, 'A number is needed here.'],
    ['half for a whole', z.int(), 1.5, 'A whole number is needed here.'],
    ['a number for a list', z.array(z.int()), 3, 'A list is needed here.'],
    ['what is on no list', z.enum(['warm', 'cold']), 'hot', 'One of these is needed: warm, cold.'],
    ['another word than the one', z.literal('bulk'), 'order', 'This must be bulk.'],
    ['too little', z.number().min(3), 2, 'At least 3.'],
    ['nothing at all', z.number().positive(), 0, 'Above 0.'],
    ['too much', z.number().lt(1), 1, 'Below 1.'],
    ['an empty text', z.string().min(1), '', 'Write something here.'],
    ['a long text', z.string().max(2), 'abc', 'At most 2 characters.'],
    ['a long list', z.array(z.int()).max(1), [1, 2], 'At most 1 entry.'],
    ['no id', z.uuid(), 'x', 'An id is needed here: 32 hexadecimal digits, written 8-4-4-4-12.'],
    ['no day', z.iso.date(), '30.11.', 'A day is needed here, written as 2026-11-30.'],
    ['letters where they may not be', z.string().regex(/^\d+$/), 'x', 'This is not written as it must be here.'],
    ['an odd step', z.number().multipleOf(5), 7, 'A multiple of 5 is needed here.'],
    ['a field too many', z.strictObject({}), { b: 1 }, 'Not known here: b. Remove it or check its spelling.'],
    ['neither form', z.union([z.number(), z.string()]), true, 'A number is needed here; or: Text is needed here.'],
    [
      'the nearer form',
      z.union([z.number(), z.object({ a: z.number(), b: z.number() })]),
      { a: 1 },
      'At b: This is needed and is missing.',
    ],
    [
      'no kind of the list',
      z.discriminatedUnion('kind', [z.object({ kind: z.literal('a') }), z.object({ kind: z.literal('b') })]),
      { kind: 'c' },
      'One of these is needed: a, b.',
    ],
  ] as const)('is told in plain words: %s', (_, schema, value, words) => {
    expect(told(schema, value)).toEqual([words]);
  });

  it('keeps the words a schema has of its own', () => {
    expect(told(z.number().min(20, 'At least 20 ml.'), 3)).toEqual(['At least 20 ml.']);
  });
});
