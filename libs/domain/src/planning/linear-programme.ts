/** Minimise cost·x subject to rowLower ≤ A·x ≤ rowUpper and lower ≤ x ≤ upper; A by rows (compressed sparse rows). */
export interface LinearProgramme {
  readonly columns: number;
  readonly rows: number;
  readonly cost: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** 1 where the variable must be whole. */
  readonly whole: Uint8Array;
  readonly rowLower: Float64Array;
  readonly rowUpper: Float64Array;
  readonly rowStart: Int32Array;
  readonly index: Int32Array;
  readonly value: Float64Array;
}

export interface ColumnSpec {
  readonly cost?: number;
  readonly lower?: number;
  readonly upper?: number;
  readonly whole?: boolean;
}

/** One term of a row: a column and its coefficient. */
export type Term = readonly [column: number, coefficient: number];

/** Collects columns and rows one by one. Rows may be opened first and filled later, by the concerns that touch them. */
export class ProgrammeBuilder {
  private readonly columnCost: number[] = [];
  private readonly columnLower: number[] = [];
  private readonly columnUpper: number[] = [];
  private readonly columnWhole: number[] = [];
  private readonly rowColumns: number[][] = [];
  private readonly rowCoefficients: number[][] = [];
  private readonly rowLower: number[] = [];
  private readonly rowUpper: number[] = [];

  get columnCount(): number {
    return this.columnCost.length;
  }

  /** Adds a variable, 0 and up unless told otherwise, and gives its number. */
  column({ cost = 0, lower = 0, upper = Number.POSITIVE_INFINITY, whole = false }: ColumnSpec = {}): number {
    this.columnCost.push(cost);
    this.columnLower.push(lower);
    this.columnUpper.push(upper);
    this.columnWhole.push(whole ? 1 : 0);
    return this.columnCost.length - 1;
  }

  /** Adds to a variable's cost. */
  charge(column: number, cost: number): void {
    this.columnCost[column] = (this.columnCost[column] ?? 0) + cost;
  }

  /** Adds a row and gives its number. Terms of one column add up. */
  row(lower: number, upper: number, terms: readonly Term[] = []): number {
    this.rowColumns.push([]);
    this.rowCoefficients.push([]);
    this.rowLower.push(lower);
    this.rowUpper.push(upper);
    const row = this.rowColumns.length - 1;
    for (const [column, coefficient] of terms) this.term(row, column, coefficient);
    return row;
  }

  /** Adds a term to a row. */
  term(row: number, column: number, coefficient: number): void {
    this.rowColumns[row]!.push(column);
    this.rowCoefficients[row]!.push(coefficient);
  }

  /** Shifts both limits of a row, for constants that belong on its left side. */
  shift(row: number, constant: number): void {
    this.rowLower[row] = this.rowLower[row]! - constant;
    this.rowUpper[row] = this.rowUpper[row]! - constant;
  }

  build(): LinearProgramme {
    const rows = this.rowColumns.length;
    const entries = this.rowColumns.reduce((sum, columns) => sum + columns.length, 0);
    const rowStart = new Int32Array(rows + 1);
    const index = new Int32Array(entries);
    const value = new Float64Array(entries);
    /** Where the row's term of a column stands, when it stands behind the row's beginning. */
    const place = new Int32Array(this.columnCost.length).fill(-1);
    let at = 0;
    for (let row = 0; row < rows; row += 1) {
      const start = at;
      const columns = this.rowColumns[row]!;
      for (let term = 0; term < columns.length; term += 1) {
        const column = columns[term]!;
        const coefficient = this.rowCoefficients[row]![term]!;
        if (coefficient === 0) continue;
        if (place[column]! >= start) value[place[column]!]! += coefficient;
        else {
          place[column] = at;
          index[at] = column;
          value[at] = coefficient;
          at += 1;
        }
      }
      rowStart[row + 1] = at;
    }
    return {
      columns: this.columnCost.length,
      rows,
      cost: Float64Array.from(this.columnCost),
      lower: Float64Array.from(this.columnLower),
      upper: Float64Array.from(this.columnUpper),
      whole: Uint8Array.from(this.columnWhole),
      rowLower: Float64Array.from(this.rowLower),
      rowUpper: Float64Array.from(this.rowUpper),
      rowStart,
      index: index.slice(0, at),
      value: value.slice(0, at),
    };
  }
}
