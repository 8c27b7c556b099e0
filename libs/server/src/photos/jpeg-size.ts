/**
 * Reads the size of a JPEG from its own markers (ITU-T T.81, annex B: SOI, segments with a length, a start-of-frame).
 * Null for anything that is not one from its first byte to its last: what a file is called or said to be counts nothing.
 */
export function jpegSize(bytes: Uint8Array): { readonly widthPx: number; readonly heightPx: number } | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const last = bytes.length - 2;
  if (bytes.length < 4 || view.getUint16(0) !== SOI || view.getUint16(last) !== EOI) return null;
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) return null;
    const marker = bytes[at + 1] ?? 0;
    if (marker === 0xff) {
      at += 1; // fill bytes may stand before a marker
      continue;
    }
    const length = view.getUint16(at + 2);
    if (length < 2 || at + 2 + length > bytes.length) return null;
    if (isStartOfFrame(marker)) return length < 8 ? null : sized(view.getUint16(at + 7), view.getUint16(at + 5));
    if (marker === START_OF_SCAN) return null; // no frame before the picture: it cannot be shown
    at += 2 + length;
  }
  return null;
}

const SOI = 0xffd8;
const EOI = 0xffd9;
const START_OF_SCAN = 0xda;

/** C0 to CF but for the tables that share the range: C4 (Huffman), C8 (reserved) and CC (arithmetic conditioning). */
function isStartOfFrame(marker: number): boolean {
  return marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
}

function sized(widthPx: number, heightPx: number) {
  return widthPx > 0 && heightPx > 0 ? { widthPx, heightPx } : null;
}
