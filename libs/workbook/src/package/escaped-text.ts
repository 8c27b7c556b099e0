const ESCAPED = /_x([0-9A-Fa-f]{4})_/g;

/**
 * Text in a workbook writes characters XML cannot hold as `_x001B_`, and a plain `_x` that looks like one as `_x005F_x`.
 * Source: ECMA-376 part 1, 22.9.2.19 (ST_Xstring).
 */
export function unescapeText(text: string): string {
  return text.includes('_x')
    ? text.replace(ESCAPED, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)))
    : text;
}
