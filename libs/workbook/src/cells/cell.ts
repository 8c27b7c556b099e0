import type { MergedCells, WrittenCell, WrittenContent, WrittenFile, WrittenRow, WrittenSheet } from '@jarfold/domain';

/** What is read from a workbook is what the domain takes a file to say; these are its names among the cells. */
export type CellContent = WrittenContent;
export type Cell = WrittenCell;
export type SheetRow = WrittenRow;
export type MergedBlock = MergedCells;
export type SheetCells = WrittenSheet;
export type WorkbookCells = WrittenFile;
