import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { confidences, everyPublishedValue, sources, speciesCatalogue } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { sourcesPage } from './support/sources-page.js';

const page = new URL('../../docs/sources.md', import.meta.url);

describe('the page of sources', () => {
  it('is what the tables say', () => {
    if (process.env.JARFOLD_WRITE_DOCS) writeFileSync(page, sourcesPage());
    expect(readFileSync(page, 'utf8')).toBe(sourcesPage());
  });

  it('shows every value with a known source and mark, and a range that holds it', () => {
    const entries = everyPublishedValue();
    expect(entries.length).toBeGreaterThan(250);
    for (const { published, what, area } of entries) {
      expect(Object.keys(sources)).toContain(published.source);
      expect(confidences).toContain(published.confidence);
      const sound =
        (published.low ?? published.value) <= published.value && published.value <= (published.high ?? published.value);
      expect([area, what, sound]).toEqual([area, what, true]);
      if (published.confidence === 'common practice') expect(published.source).toBe('Trade');
      else expect(published.source).not.toBe('Trade');
    }
  });

  it('leaves out no published value of any species', () => {
    const listed = new Set(everyPublishedValue().map(({ published }) => published));
    for (const { spawn, cropping } of speciesCatalogue)
      for (const value of [...Object.values(spawn), ...Object.values(cropping)])
        if (value !== null && typeof value === 'object') expect(listed.has(value)).toBe(true);
  });

  it('names tests that exist', () => {
    const names = [...sourcesPage().matchAll(/^\| [^|]+ \| [^|]+ \| ([a-z, -]+) \|$/gm)].flatMap(([, list]) =>
      list!.split(', '),
    );
    const tests = names.filter((name) => name !== 'test' && !/^-+$/.test(name));
    expect(tests.length).toBeGreaterThan(12);
    for (const name of tests)
      expect([name, existsSync(new URL(`./${name}.test.ts`, import.meta.url))]).toEqual([name, true]);
  });
});
