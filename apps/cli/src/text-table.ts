export interface TextColumn {
  readonly header: string;
  /** Widest it may become, in characters; longer words are cut into pieces. */
  readonly width: number;
  readonly right?: boolean;
}

const GAP = '  ';

/** A table of plain text: columns no wider than their contents need, long cells wrapped at words. */
export function textTable(columns: readonly TextColumn[], rows: readonly (readonly string[])[]): readonly string[] {
  const widths = columns.map(({ header, width }, at) =>
    Math.min(width, Math.max(lengthOf(header), ...rows.map((row) => lengthOf(row[at] ?? '')))),
  );
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, at) => pad(cell, widths[at] ?? 0, columns[at]?.right ?? false))
      .join(GAP)
      .trimEnd();
  return [
    line(columns.map(({ header }) => header)),
    line(widths.map((width) => '-'.repeat(width))),
    ...rows.flatMap((row) => wrapRow(row, widths).map(line)),
  ];
}

/** Breaks a sentence into lines of at most `width` characters. */
export function wrap(text: string, width: number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ').flatMap((each) => pieces(each, width))) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (lengthOf(longer) <= width) line = longer;
    else {
      lines.push(line);
      line = word;
    }
  }
  return [...lines, line];
}

function wrapRow(row: readonly string[], widths: readonly number[]): readonly (readonly string[])[] {
  const cells = widths.map((width, at) => wrap(row[at] ?? '', width));
  const height = Math.max(...cells.map((lines) => lines.length));
  return Array.from({ length: height }, (_, at) => cells.map((lines) => lines[at] ?? ''));
}

function pieces(word: string, width: number): readonly string[] {
  const letters = [...word];
  const count = Math.max(1, Math.ceil(letters.length / width));
  return Array.from({ length: count }, (_, at) => letters.slice(at * width, (at + 1) * width).join(''));
}

function pad(text: string, width: number, right: boolean): string {
  const space = ' '.repeat(Math.max(0, width - lengthOf(text)));
  return right ? space + text : text + space;
}

/** Letters, not bytes: names carry accents and other scripts. */
const lengthOf = (text: string) => [...text].length;
