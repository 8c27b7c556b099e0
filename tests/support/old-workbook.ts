import ExcelJS from 'exceljs';

/**
 * An invented farm's old workbook with the nuisances such files have: titles, headings in two rows and merged, blank rows,
 * totals, two tables on one sheet, days as text and as dates, decimal commas, words of the farm's own. The names in it are
 * nobody's.
 */
export async function oldWorkbook({ date1904 = false }: { readonly date1904?: boolean } = {}): Promise<Buffer> {
  const book = new ExcelJS.Workbook();
  book.properties.date1904 = date1904;
  const sheet = book.addWorksheet('Cellar');
  sheet.addRow(['Jars in the cellar']);
  sheet.mergeCells('A1:H1');
  sheet.addRow([]);
  sheet.addRow(['Jar', null, null, null, 'Days', null, 'Spawn']);
  sheet.mergeCells('A3:D3');
  sheet.mergeCells('E3:F3');
  sheet.addRow(['code', 'strain', 'gen', 'state', 'made', 'ripe', 'kg left', 'shelf', 'remarks']);
  sheet.addRow(['C1', 'Blue oy.', 1, 'ready', '03/11/2026', '17/11/2026', '0,5', 'warm', 'smells good']);
  sheet.addRow(['C2', 'Blue oy.', 1, 'ready', '03/11/2026', '17/11/2026', '0,5', 'warm']);
  sheet.addRow([]);
  sheet.addRow(['C3', 'Blue oy.', 2, 'fridge', new Date('2026-10-01T00:00:00Z'), '15/10/2026', '1,234', 'cold']);
  sheet.addRow(['C4', 'Blue oy.', 2, 'growing', '20/11/2026']);
  sheet.addRow(['C5', 'Blue oy.', 2, 'mouldy', '20/10/2026']);
  sheet.addRow(['C6', 'Blue oy.', 2, 'ready', '31/02/2026']);
  sheet.addRow(['C1', 'Blue oy.', 2, 'ready', '03/11/2026']);
  sheet.addRow(['Total', null, null, null, null, null, { formula: 'SUM(G5:G8)', result: 1.5 }]);
  sheet.addRow([]);
  sheet.addRow(['Straw']);
  sheet.addRow(['Run', 'Date', 'Strain', 'Substrate kg', 'Spawn rate %']);
  sheet.addRow(['Straw 1', new Date('2026-09-01T00:00:00Z'), 'Blue oy.', 80, 5]);
  sheet.addRow(['Straw 2', new Date('2026-12-20T00:00:00Z'), 'Blue oy.', 40, 5]);
  const harvests = book.addWorksheet('Picked');
  harvests.addRow(['Run', 'Picked on', 'Flush', 'Grams']);
  harvests.addRow(['Straw 1', new Date('2026-10-01T00:00:00Z'), 1, 12_500]);
  harvests.addRow(['Straw 1', new Date('2026-10-14T00:00:00Z'), 2, 6_000]);
  return Buffer.from(await book.xlsx.writeBuffer());
}
