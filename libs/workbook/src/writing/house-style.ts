/** The look of every workbook Jarfold writes: ink on paper, grain for headings, straw for what needs a look. ARGB. */
export const INK = 'FF2B2B26';
export const GRAIN = 'FFE8E2D0';
export const STRAW = 'FFFBEBC8';
/** Behind cells that people are meant to change. */
export const PAPER = 'FFF6FAF2';
export const RULE = 'FFB5AF9C';
/** Bars behind numbers. */
export const BAR = 'FFC9BE9A';
export const FONT = 'Calibri';
/** Points a line of text takes at the usual size. */
export const LINE_HEIGHT = 15;
