import PDFDocument from 'pdfkit';
import { create as encode } from 'qrcode';
import { type LabelGrid, labelPlaces, unfit } from './label-layout.js';

/** What one label says. The code is what the QR holds, sign for sign. */
export interface Label {
  readonly code: string;
  /** Under the code, the most telling line first. */
  readonly lines: readonly string[];
}

const POINTS_PER_MM = 72 / 25.4;
const PADDING_MM = 1.5;
/** Modules around a symbol that must stay white (ISO/IEC 18004, section 9.1: quiet zone of four modules). */
const QUIET_MODULES = 4;
/** The finest module that a cheap printer at 203 dots an inch draws with three dots; our choice. */
const LEAST_MODULE_MM = 0.375;
/** Share of a label's width that the symbol may take. */
const SYMBOL_SHARE = 0.45;
const LARGEST_CODE_PT = 16;
const LEAST_CODE_PT = 5;
const BOLD = 'Helvetica-Bold';
const PLAIN = 'Helvetica';

/**
 * Labels as a PDF: the QR symbol on the left, the code in full beside it, and what helps a person below.
 * @throws AppError `invalid-input` when the grid does not fit the page, or a label is too small for its symbol
 */
export async function labelPdf(
  labels: readonly Label[],
  grid: LabelGrid,
  { skip, title, madeAt }: { readonly skip: number; readonly title: string; readonly madeAt: Date },
): Promise<Uint8Array> {
  const places = labelPlaces(grid, labels.length, skip);
  const size: [number, number] = [grid.pageWidthMm * POINTS_PER_MM, grid.pageHeightMm * POINTS_PER_MM];
  const info = { Title: title, Creator: 'Jarfold', Producer: 'Jarfold', CreationDate: madeAt };
  const pdf = new PDFDocument({ size, margin: 0, autoFirstPage: false, info });
  const bytes = collected(pdf);
  let page = -1;
  for (const [index, label] of labels.entries()) {
    const place = places[index];
    if (!place) break;
    if (place.page !== page) pdf.addPage();
    page = place.page;
    pdf.save().scale(POINTS_PER_MM).translate(place.xMm, place.yMm);
    drawLabel(pdf, label, grid);
    pdf.restore();
  }
  pdf.end();
  return bytes;
}

/** In millimetres from the label's top left corner. */
function drawLabel(pdf: PDFKit.PDFDocument, { code, lines }: Label, { labelWidthMm, labelHeightMm }: LabelGrid): void {
  const sideMm = Math.min(labelHeightMm - 2 * PADDING_MM, labelWidthMm * SYMBOL_SHARE);
  drawSymbol(pdf, code, sideMm, (labelHeightMm - sideMm) / 2);
  const leftMm = PADDING_MM + sideMm + PADDING_MM / 2;
  const widthMm = labelWidthMm - leftMm - PADDING_MM;
  const codePt = fittingPt(pdf, code, widthMm);
  const smallPt = Math.max(LEAST_CODE_PT, Math.min(codePt * 0.62, 9));
  const stepMm = (smallPt * 1.25) / POINTS_PER_MM;
  const codeMm = (codePt * 1.2) / POINTS_PER_MM;
  const fits = Math.max(0, Math.floor((labelHeightMm - 2 * PADDING_MM - codeMm) / stepMm));
  const shown = lines.slice(0, fits);
  let topMm = (labelHeightMm - codeMm - shown.length * stepMm) / 2;
  writeLine(pdf, code, { font: BOLD, pt: codePt, leftMm, topMm, widthMm });
  topMm += codeMm;
  for (const line of shown) {
    writeLine(pdf, line, { font: PLAIN, pt: smallPt, leftMm, topMm, widthMm });
    topMm += stepMm;
  }
}

function drawSymbol(pdf: PDFKit.PDFDocument, code: string, sideMm: number, topMm: number): void {
  // A quarter of the symbol may be wet, scratched or written over: level Q. A long code takes level M to stay coarse.
  const { modules } = encode(code, { errorCorrectionLevel: code.length <= 16 ? 'Q' : 'M' });
  const moduleMm = sideMm / (modules.size + 2 * QUIET_MODULES);
  if (moduleMm < LEAST_MODULE_MM) {
    const neededMm = Math.ceil(LEAST_MODULE_MM * (modules.size + 2 * QUIET_MODULES) * 10) / 10;
    throw unfit('labelHeightMm', `the symbol of ${code} needs ${neededMm} mm and has ${sideMm.toFixed(1)} mm`);
  }
  const originMm = { x: PADDING_MM + QUIET_MODULES * moduleMm, y: topMm + QUIET_MODULES * moduleMm };
  for (let row = 0; row < modules.size; row += 1) {
    for (let from = 0; from < modules.size; from += 1) {
      if (!modules.get(row, from)) continue;
      let to = from;
      while (to + 1 < modules.size && modules.get(row, to + 1)) to += 1;
      pdf.rect(originMm.x + from * moduleMm, originMm.y + row * moduleMm, (to - from + 1) * moduleMm, moduleMm);
      from = to;
    }
  }
  pdf.fill('#000000');
}

/** The largest type in which the code stands on one line. */
function fittingPt(pdf: PDFKit.PDFDocument, code: string, widthMm: number): number {
  const atOnePt = pdf.font(BOLD).fontSize(1).widthOfString(printable(code)) / POINTS_PER_MM;
  const fitting = Math.min(LARGEST_CODE_PT, widthMm / atOnePt);
  if (fitting < LEAST_CODE_PT) throw unfit('labelWidthMm', `the code ${code} would be smaller than can be read`);
  return fitting;
}

function writeLine(
  pdf: PDFKit.PDFDocument,
  text: string,
  at: {
    readonly font: string;
    readonly pt: number;
    readonly leftMm: number;
    readonly topMm: number;
    readonly widthMm: number;
  },
): void {
  pdf.font(at.font).fontSize(at.pt / POINTS_PER_MM);
  pdf.fillColor('#000000').text(printable(text), at.leftMm, at.topMm, {
    width: at.widthMm,
    height: (at.pt * 1.2) / POINTS_PER_MM,
    lineBreak: false,
    ellipsis: true,
  });
}

/** The built-in fonts know Western European signs; others lose their accents, or become a dot. */
function printable(text: string): string {
  return [...text.normalize('NFC')]
    .map((sign) => {
      if (WESTERN.test(sign)) return sign;
      const bare = sign.normalize('NFD').replace(/\p{M}/gu, '');
      return WESTERN.test(bare) ? bare : '·';
    })
    .join('');
}
const WESTERN = /^[\u0020-\u007e\u00a0-\u00ff]+$/;

function collected(pdf: PDFKit.PDFDocument): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    const chunks: Buffer[] = [];
    pdf.on('data', (chunk: Buffer) => chunks.push(chunk));
    pdf.on('end', () => resolve(new Uint8Array(Buffer.concat(chunks))));
    pdf.on('error', reject);
  });
}
