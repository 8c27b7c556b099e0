import { readXml } from './xml-events.js';

/** How a number in a cell is shown, as far as its meaning depends on it. */
export type NumberLook = 'plain' | 'percent' | 'date';

/** Built-in formats that show a day; 18 to 21 and 45 to 47 show only a time of day (ECMA-376 part 1, 18.8.30). */
const BUILT_IN_DATES = new Set([14, 15, 16, 17, 22, 27, 28, 29, 30, 31, 36, 50, 51, 52, 53, 54, 55, 56, 57, 58]);
const BUILT_IN_PERCENTS = new Set([9, 10]);

/** The look of every cell style, by the style's number. */
export function readCellFormats(part: string, bytes: Buffer): readonly NumberLook[] {
  const custom = new Map<number, string>();
  const looks: NumberLook[] = [];
  let inCellStyles = false;
  readXml(part, bytes, {
    open(name, attributes) {
      if (name === 'numFmt') custom.set(Number(attributes.numFmtId), attributes.formatCode ?? '');
      if (name === 'cellXfs') inCellStyles = true;
      if (name === 'xf' && inCellStyles) looks.push(lookOf(Number(attributes.numFmtId ?? 0), custom));
    },
    close(name) {
      if (name === 'cellXfs') inCellStyles = false;
    },
  });
  return looks;
}

function lookOf(id: number, custom: ReadonlyMap<number, string>): NumberLook {
  const code = custom.get(id);
  if (code !== undefined) return lookOfCode(code);
  if (BUILT_IN_DATES.has(id)) return 'date';
  return BUILT_IN_PERCENTS.has(id) ? 'percent' : 'plain';
}

/** Reads a format code such as `dd/mm/yyyy` or `0.0 "days"`: what stands in quotes, brackets or after a backslash is text. */
export function lookOfCode(code: string): NumberLook {
  const bare = code.replace(/"[^"]*"|\\.|_.|\*.|\[[^\]]*\]/g, '').toLowerCase();
  if (bare.includes('general')) return 'plain';
  if (/[yd]/.test(bare) || /m{3,}/.test(bare)) return 'date';
  return bare.includes('%') ? 'percent' : 'plain';
}
