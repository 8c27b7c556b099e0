import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from '@jest/globals';
import { IntlMessageFormat } from 'intl-messageformat';
import { benchWords } from './bench-words.js';
import { en } from './en.js';

const SOURCES = join(import.meta.dirname, '..');
const ROOT = join(SOURCES, '..', '..', '..');

/** Groups whose messages are names of things, and so stand in docs/names.md. */
const NAME_GROUPS = [
  'screen',
  'command',
  'field',
  'column',
  'state',
  'coverage',
  'runState',
  'runKind',
  'roomKind',
  'role',
  'basis',
  'freshness',
  'entry',
  'factor',
  'method',
  'flag',
  'container',
  'carrier',
];

function sourceFiles(): readonly { readonly name: string; readonly text: string }[] {
  return readdirSync(SOURCES, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name) && !name.endsWith('.spec.ts') && !isCatalogue(name))
    .map((name) => ({ name, text: readFileSync(join(SOURCES, name), 'utf8') }));
}

/** A catalogue's own lines do not count as a use of its keys. */
const isCatalogue = (name: string) => /^messages[\\/]/.test(name) && !/translate\.ts$/.test(name);

const files = sourceFiles();
const keys = Object.keys(en);

describe('the message catalogue', () => {
  it('every key is used on some screen', () => {
    const quoted = new Set(
      files.flatMap(({ text }) =>
        [...text.matchAll(/['"]([A-Za-z]+(?:\.[A-Za-z0-9_]+)+)['"]/g)].map((match) => match[1]),
      ),
    );
    expect(keys.filter((key) => !quoted.has(key))).toEqual([]);
  });

  it('every key asked for exists', () => {
    const asked = files.flatMap(({ name, text }) =>
      [...text.matchAll(/\bt\(\s*'([^']+)'/g)].map((match) => ({ name, key: match[1]! })),
    );
    expect(asked.length).toBeGreaterThan(100);
    expect(asked.filter(({ key }) => !(key in en))).toEqual([]);
  });

  it('every message is well-formed ICU message syntax', () => {
    for (const message of Object.values(en))
      expect(() => new IntlMessageFormat(message, 'en', undefined, { ignoreTag: true })).not.toThrow();
  });

  it('every value a message waits for is passed where it is asked for', () => {
    const wrong = files.flatMap(({ name, text }) =>
      [...text.matchAll(/\bt\('([^']+)'\)/g)]
        .map((match) => match[1]! as keyof typeof en)
        .filter((key) => /\{/.test(en[key] ?? ''))
        .map((key) => `${name}: ${key}`),
    );
    expect(wrong).toEqual([]);
  });

  it('attributes that people read or hear are never literal text', () => {
    const attribute =
      /\b(?:aria-label|aria-description|aria-roledescription|aria-valuetext|title|placeholder|alt|label|hint|caption|unit|head)="[^"]*[A-Za-z][^"]*"/g;
    const literal = files
      .filter(({ name }) => name.endsWith('.tsx'))
      .flatMap(({ name, text }) => [...text.matchAll(attribute)].map((match) => `${name}: ${match[0]}`));
    expect(literal).toEqual([]);
  });
});

describe('the words of the bench', () => {
  const reached = reachedFrom('features/bench/bench.tsx');
  const quotedIn = (name: string) =>
    [...readFileSync(join(SOURCES, name), 'utf8').matchAll(/'([A-Za-z]+(?:\.[A-Za-z0-9_]+)+)'/g)].map(
      (match) => match[1]!,
    );
  const asked = reached.filter((name) => !isCatalogue(name)).flatMap(quotedIn);

  it('are all there that the program can ask for', () => {
    expect(reached.length).toBeGreaterThan(60);
    expect([...new Set(asked)].filter((key) => key in en && !(key in benchWords))).toEqual([]);
  });

  it('come without the desk’s', () => {
    expect(reached.filter((name) => name.startsWith('app/') && name !== 'app/ErrorBoundary.tsx')).toEqual([]);
    expect(reached).not.toContain('messages/en.ts');
  });
});

/** Every source file that a program loads, now or later; what is imported for its type alone is not loaded. */
function reachedFrom(entry: string, found = new Set<string>()): readonly string[] {
  if (found.has(entry)) return [...found];
  found.add(entry);
  const text = readFileSync(join(SOURCES, entry), 'utf8').replace(/import type [^;]+;/g, '');
  for (const [, path] of text.matchAll(/(?:from|import)\s*\(?\s*'(\.[^']+)\.js'/g)) {
    const file = join(dirname(entry), path!);
    const source = [`${file}.ts`, `${file}.tsx`].find((name) => existsSync(join(SOURCES, name)));
    if (source) reachedFrom(source, found);
  }
  return [...found];
}

describe('docs/names.md', () => {
  const page = readFileSync(join(ROOT, 'docs', 'names.md'), 'utf8');
  const rows = [...page.matchAll(/^\| ([^|]+?) \| ([^|]+?) \| ([^|]+?) \|([^|]*)\|$/gm)].map((match) => ({
    name: match[1]!,
    kind: match[2]!,
    origin: match[3]!,
  }));
  const kindOf = (key: string) => key.split('.')[0]!;

  it.each(NAME_GROUPS)('lists every name of the group %s', (group) => {
    const listed = new Set(rows.filter((row) => row.kind === group).map((row) => row.name));
    const missing = keys
      .filter((key) => kindOf(key) === group)
      .map((key) => en[key as keyof typeof en])
      .filter((name) => !listed.has(name));
    expect(missing).toEqual([]);
  });

  it('lists nothing that is on no screen, and each as trade, standard or our own', () => {
    const named = new Set(
      keys
        .filter((key) => NAME_GROUPS.includes(kindOf(key)))
        .map((key) => `${kindOf(key)} ${en[key as keyof typeof en]}`),
    );
    const body = rows.filter((row) => NAME_GROUPS.includes(row.kind));
    expect(body.filter((row) => !named.has(`${row.kind} ${row.name}`))).toEqual([]);
    expect(body.filter((row) => !['trade', 'standard', 'our own'].includes(row.origin))).toEqual([]);
  });
});
