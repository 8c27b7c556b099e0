import { address } from '../cells/address.js';
import { XML_HEAD, xmlText } from './xml-text.js';

/** A note on a cell. */
export interface CellNote {
  readonly row: number;
  readonly column: number;
  readonly text: string;
}

/** The comments part of a sheet. Source: ECMA-376 part 1, 18.7. */
export function commentsXml(notes: readonly CellNote[]): string {
  const listed = notes.map(
    ({ row, column, text }) =>
      `<comment ref="${address(column, row)}" authorId="0"><text><r><t xml:space="preserve">${xmlText(text)}</t></r></text></comment>`,
  );
  return `${XML_HEAD}<comments xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><authors><author>Jarfold</author></authors><commentList>${listed.join('')}</commentList></comments>`;
}

/** The boxes that notes are shown in: programs still want them in the older drawing language. */
export function noteBoxesXml(notes: readonly CellNote[]): string {
  const boxes = notes.map(({ row, column, text }, at) => {
    const lines = Math.min(12, Math.max(3, Math.ceil(text.length / 32)));
    const anchor = [column, 15, Math.max(0, row - 1), 4, column + 3, 31, Math.max(0, row - 1) + lines, 4].join(', ');
    return `<v:shape id="_x0000_s${1025 + at}" type="#_x0000_t202" style="position:absolute;visibility:hidden" fillcolor="#fbebc8" o:insetmode="auto"><v:fill color2="#fbebc8"/><v:shadow on="t" color="black" obscured="t"/><v:path o:connecttype="none"/><v:textbox/><x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/><x:Anchor>${anchor}</x:Anchor><x:AutoFill>False</x:AutoFill><x:Row>${row - 1}</x:Row><x:Column>${column - 1}</x:Column></x:ClientData></v:shape>`;
  });
  return `<xml xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office" xmlns:x="urn:schemas-microsoft-com:office:excel"><o:shapelayout v:ext="edit"><o:idmap v:ext="edit" data="1"/></o:shapelayout><v:shapetype id="_x0000_t202" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe"><v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype>${boxes.join('')}</xml>`;
}
