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
  private readonly rowTerms: Map<number, number>[] = [];
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
    this.rowTerms.push(new Map());
    this.rowLower.push(lower);
    this.rowUpper.push(upper);
    const row = this.rowTerms.length - 1;
    for (const [column, coefficient] of terms) this.term(row, column, coefficient);
    return row;
  }

  /** Adds a term to a row. */
  term(row: number, column: number, coefficient: number): void {
    const terms = this.rowTerms[row]!;
    terms.set(column, (terms.get(column) ?? 0) + coefficient);
  }

  /** Shifts both limits of a row, for constants that belong on its left side. */
  shift(row: number, constant: number): void {
    this.rowLower[row] = this.rowLower[row]! - constant;
    this.rowUpper[row] = this.rowUpper[row]! - constant;
  }

  build(): LinearProgramme {
    const entries = this.rowTerms.reduce((sum, terms) => sum + terms.size, 0);
    const rowStart = new Int32Array(this.rowTerms.length + 1);
    const index = new Int32Array(entries);
    const value = new Float64Array(entries);
    let at = 0;
    this.rowTerms.forEach((terms, row) => {
      for (const [column, coefficient] of terms) {
        if (coefficient === 0) continue;
        index[at] = column;
        value[at] = coefficient;
        at += 1;
      }
      rowStart[row + 1] = at;
    });
    return {
      columns: this.columnCost.length,
      rows: this.rowTerms.length,
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
