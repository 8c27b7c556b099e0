import { columnLetters } from '../cells/address.js';
import { safeText } from './safe-text.js';
import type { SheetDraft } from './sheet-draft.js';
import { lastRow, type TablePlace } from './sheet-xml.js';
import { XML_HEAD, xmlText } from './xml-text.js';

/** The table part of a sheet. Source: ECMA-376 part 1, 18.5. */
export function tableXml({ name, columns }: SheetDraft, place: TablePlace, id: number): string {
  const last = columnLetters(columns.length);
  const bodyEnd = place.headRow + place.bodyRows;
  const listed = columns.map(({ header, total }, at) => {
    const sum = !place.hasTotals ? '' : total ? ' totalsRowFunction="sum"' : at === 0 ? ' totalsRowLabel="Total"' : '';
    return `<tableColumn id="${at + 1}" name="${xmlText(safeText(header))}"${sum}/>`;
  });
  const shown = `${name.replace(/\W/g, '_')}_${id}`;
  const totals = place.hasTotals ? 'totalsRowCount="1"' : 'totalsRowShown="0"';
  return `${XML_HEAD}<table xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" id="${id}" name="${shown}" displayName="${shown}" ref="A${place.headRow}:${last}${lastRow(place)}" ${totals}><autoFilter ref="A${place.headRow}:${last}${bodyEnd}"/><tableColumns count="${columns.length}">${listed.join('')}</tableColumns><tableStyleInfo name="TableStyleLight1" showFirstColumn="0" showLastColumn="0" showRowStripes="1" showColumnStripes="0"/></table>`;
}
