import { columnLetters } from '../cells/address.js';
import type { DraftChart, SheetDraft } from './sheet-draft.js';
import type { TablePlace } from './sheet-xml.js';
import { XML_HEAD, xmlText } from './xml-text.js';

const CHART = 'http://schemas.openxmlformats.org/drawingml/2006/chart';
const MAIN = 'http://schemas.openxmlformats.org/drawingml/2006/main';
const OFFICE = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';

/** A column chart of two columns of the sheet's own table. Source: ECMA-376 part 1, 21.2. */
export function chartXml(draft: SheetDraft, chart: DraftChart, place: TablePlace): string {
  const range = (header: string) => {
    const at = draft.columns.findIndex((column) => column.header === header) + 1;
    if (at === 0) throw new Error(`The chart names the column "${header}", which the sheet has not.`);
    const letters = columnLetters(at);
    return xmlText(
      `'${draft.name.replaceAll("'", "''")}'!$${letters}$${place.headRow + place.bodyRows - chart.lastRows + 1}:$${letters}$${place.headRow + place.bodyRows}`,
    );
  };
  return `${XML_HEAD}<c:chartSpace xmlns:c="${CHART}" xmlns:a="${MAIN}" xmlns:r="${OFFICE}"><c:chart><c:title><c:tx><c:rich><a:bodyPr/><a:p><a:pPr><a:defRPr sz="1200" b="1"/></a:pPr><a:r><a:rPr lang="en" sz="1200" b="1"/><a:t>${xmlText(chart.title)}</a:t></a:r></a:p></c:rich></c:tx><c:overlay val="0"/></c:title><c:autoTitleDeleted val="0"/><c:plotArea><c:layout/><c:barChart><c:barDir val="col"/><c:grouping val="clustered"/><c:varyColors val="0"/><c:ser><c:idx val="0"/><c:order val="0"/><c:tx><c:v>${xmlText(chart.values)}</c:v></c:tx><c:spPr><a:solidFill><a:srgbClr val="8A7B4F"/></a:solidFill></c:spPr><c:invertIfNegative val="0"/><c:cat><c:strRef><c:f>${range(chart.categories)}</c:f></c:strRef></c:cat><c:val><c:numRef><c:f>${range(chart.values)}</c:f></c:numRef></c:val></c:ser><c:gapWidth val="60"/><c:axId val="111"/><c:axId val="222"/></c:barChart><c:catAx><c:axId val="111"/><c:scaling><c:orientation val="minMax"/></c:scaling><c:delete val="0"/><c:axPos val="b"/><c:numFmt formatCode="General" sourceLinked="1"/><c:majorTickMark val="none"/><c:minorTickMark val="none"/><c:tickLblPos val="nextTo"/><c:crossAx val="222"/><c:crosses val="autoZero"/></c:catAx><c:valAx><c:axId val="222"/><c:scaling><c:orientation val="minMax"/><c:min val="0"/></c:scaling><c:delete val="0"/><c:axPos val="l"/><c:majorGridlines/><c:numFmt formatCode="${xmlText(chart.format)}" sourceLinked="0"/><c:majorTickMark val="none"/><c:minorTickMark val="none"/><c:tickLblPos val="nextTo"/><c:crossAx val="111"/><c:crosses val="autoZero"/></c:valAx></c:plotArea><c:plotVisOnly val="1"/></c:chart></c:chartSpace>`;
}

/** The sheet of paper a chart hangs on: beside the table, from its headings down. */
export function drawingXml({ columns, title }: SheetDraft): string {
  const from = columns.length + 1;
  const top = title.length;
  return `${XML_HEAD}<xdr:wsDr xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing" xmlns:a="${MAIN}"><xdr:twoCellAnchor><xdr:from><xdr:col>${from}</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>${top}</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from><xdr:to><xdr:col>${from + 8}</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>${top + 16}</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:to><xdr:graphicFrame macro=""><xdr:nvGraphicFramePr><xdr:cNvPr id="2" name="Chart"/><xdr:cNvGraphicFramePr/></xdr:nvGraphicFramePr><xdr:xfrm><a:off x="0" y="0"/><a:ext cx="0" cy="0"/></xdr:xfrm><a:graphic><a:graphicData uri="${CHART}"><c:chart xmlns:c="${CHART}" xmlns:r="${OFFICE}" r:id="rId1"/></a:graphicData></a:graphic></xdr:graphicFrame><xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>`;
}
