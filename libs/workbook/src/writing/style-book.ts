import { FONT, GRAIN, INK, PAPER, RULE, STRAW } from './house-style.js';
import { XML_HEAD, xmlText } from './xml-text.js';

/** How a cell looks. */
export interface CellLook {
  readonly format: string;
  readonly align: 'left' | 'right' | 'title';
  readonly wrap?: boolean;
  readonly bold?: boolean;
  readonly size?: number;
  readonly fill?: 'grain' | 'straw' | 'paper';
  readonly border?: 'thin' | 'medium';
  readonly link?: boolean;
}

const FILLS = { grain: GRAIN, straw: STRAW, paper: PAPER } as const;
const BORDERS = { thin: RULE, medium: INK } as const;

/** Collects the looks a workbook uses, each once, and writes them as its styles part. */
export class StyleBook {
  readonly #xfs = new Map<string, number>();
  readonly #written: string[] = [];
  readonly #fonts = new OnceList(['<font><sz val="11"/><name val="Calibri"/><family val="2"/></font>']);
  readonly #fills = new OnceList([
    '<fill><patternFill patternType="none"/></fill>',
    '<fill><patternFill patternType="gray125"/></fill>',
  ]);
  readonly #borders = new OnceList(['<border><left/><right/><top/><bottom/><diagonal/></border>']);
  readonly #formats = new OnceList([]);

  constructor() {
    this.#written.push('<xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>');
  }

  /** Number of a look, for a cell's `s`. */
  look(look: CellLook): number {
    const key = JSON.stringify(look);
    const known = this.#xfs.get(key);
    if (known !== undefined) return known;
    const number = this.#written.push(this.#xf(look)) - 1;
    this.#xfs.set(key, number);
    return number;
  }

  xml(): string {
    const list = (name: string, items: readonly string[]) =>
      items.length === 0 ? '' : `<${name} count="${items.length}">${items.join('')}</${name}>`;
    return `${XML_HEAD}<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">${list('numFmts', this.#formats.items)}${list('fonts', this.#fonts.items)}${list('fills', this.#fills.items)}${list('borders', this.#borders.items)}<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>${list('cellXfs', this.#written)}<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>${DIFFERENCES}<tableStyles count="0" defaultTableStyle="TableStyleLight1" defaultPivotStyle="PivotStyleLight16"/></styleSheet>`;
  }

  #xf({ format, align, wrap, bold, size = 11, fill, border, link }: CellLook): string {
    const font = `<font>${bold ? '<b/>' : ''}${link ? '<u/>' : ''}<sz val="${size}"/><color rgb="${INK}"/><name val="${FONT}"/><family val="2"/></font>`;
    const paint = fill
      ? `<fill><patternFill patternType="solid"><fgColor rgb="${FILLS[fill]}"/><bgColor indexed="64"/></patternFill></fill>`
      : null;
    const line = border
      ? `<border><left/><right/><top/><bottom style="${border}"><color rgb="${BORDERS[border]}"/></bottom><diagonal/></border>`
      : null;
    const fontId = this.#fonts.number(font);
    const fillId = paint === null ? 0 : this.#fills.number(paint);
    const borderId = line === null ? 0 : this.#borders.number(line);
    const side = align === 'right' ? 'horizontal="right"' : 'horizontal="left"';
    const indent = align === 'left' ? ' indent="1"' : '';
    const vertical = align === 'title' || fill === 'grain' ? 'center' : 'top';
    return `<xf numFmtId="${this.#formatId(format)}" fontId="${fontId}" fillId="${fillId}" borderId="${borderId}" xfId="0" applyNumberFormat="1" applyFont="1" applyFill="1" applyBorder="1" applyAlignment="1"><alignment ${side} vertical="${vertical}"${indent}${wrap ? ' wrapText="1"' : ''}/></xf>`;
  }

  /** Ids of the formats every program knows (ECMA-376 part 1, 18.8.30), or one of our own from 164. */
  #formatId(format: string): number {
    const known = BUILT_IN[format];
    if (known !== undefined) return known;
    const number = this.#formats.numberOf((at) => `<numFmt numFmtId="${164 + at}" formatCode="${xmlText(format)}"/>`);
    return 164 + number;
  }
}

const BUILT_IN: Readonly<Record<string, number>> = { General: 0, '0': 1, '0.00': 2, '#,##0': 3, '0%': 9, '@': 49 };

/** Looks of conditional formats, by number. */
export const CARE_LOOK = 0;
export const GOOD_LOOK = 1;
const DIFFERENCES = `<dxfs count="2"><dxf><font><b/></font><fill><patternFill><bgColor rgb="${STRAW}"/></patternFill></fill></dxf><dxf><fill><patternFill><bgColor rgb="FFDDE8D5"/></patternFill></fill></dxf></dxfs>`;

/** Keeps each item once, in the order of first use. */
class OnceList {
  readonly items: string[];
  readonly #at = new Map<string, number>();

  constructor(first: readonly string[]) {
    this.items = [...first];
    for (const [at, item] of this.items.entries()) this.#at.set(item, at);
  }

  number(item: string): number {
    const known = this.#at.get(item);
    if (known !== undefined) return known;
    this.#at.set(item, this.items.length);
    return this.items.push(item) - 1;
  }

  /** For items that hold their own number: told apart by what stands there with number 0. */
  numberOf(item: (at: number) => string): number {
    const key = item(0);
    const known = this.#at.get(key);
    if (known !== undefined) return known;
    this.#at.set(key, this.items.length);
    return this.items.push(item(this.items.length)) - 1;
  }
}
