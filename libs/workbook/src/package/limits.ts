/** What a workbook may be before Jarfold refuses to look further. A farm's workbook is far below every one of these. */
export interface WorkbookLimits {
  readonly fileBytes: number;
  readonly entries: number;
  /** Bytes of XML after inflating, counted while inflating. */
  readonly inflatedBytes: number;
  /** A part may inflate to this many times its packed size, once it is larger than `ratioFromBytes`. */
  readonly ratio: number;
  readonly ratioFromBytes: number;
  readonly sheets: number;
  /** Rows that hold something, per sheet. */
  readonly rows: number;
  /** The last column that may hold something. */
  readonly columns: number;
  /** Cells that hold something, in the whole file. */
  readonly cells: number;
  /** Merged blocks per sheet. */
  readonly mergedBlocks: number;
  readonly textLength: number;
  /** Wall-clock time; the other limits keep the work itself to seconds, so this is for a machine that is busy. */
  readonly timeoutMs: number;
  readonly heapMb: number;
}

const MIB = 1024 * 1024;

/**
 * Room for 50,000 jars of 20 columns. The text length is the one a spreadsheet cell can hold; the ratio leaves a factor
 * of three above the most repetitive sheet we could make and is a third of what a packed attack reaches.
 */
export const defaultLimits: WorkbookLimits = {
  fileBytes: 20 * MIB,
  entries: 2_000,
  inflatedBytes: 128 * MIB,
  ratio: 200,
  ratioFromBytes: MIB,
  sheets: 100,
  rows: 50_000,
  columns: 256,
  cells: 1_000_000,
  mergedBlocks: 2_000,
  textLength: 32_767,
  timeoutMs: 120_000,
  heapMb: 384,
};
