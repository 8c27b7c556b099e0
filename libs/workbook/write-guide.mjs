/** `node libs/workbook/write-guide.mjs`: puts the tables of the built code into docs/workbook.md. */
import { readFileSync, writeFileSync } from 'node:fs';
import { withGuideTables } from './dist/guide/guide-tables.js';

const guide = new URL('../../docs/workbook.md', import.meta.url);
writeFileSync(guide, withGuideTables(readFileSync(guide, 'utf8')));
