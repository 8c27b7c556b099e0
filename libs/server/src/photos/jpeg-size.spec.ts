import { describe, expect, it } from '@jest/globals';
import { jpegSize } from './jpeg-size.js';

/** SOI, an APP0 segment, a baseline frame of 640 × 480, and the end: built from the markers of ITU-T T.81 table B.1. */
const frame = (marker: number, heightPx: number, widthPx: number) => [
  ...[0xff, marker, 0x00, 0x0b, 0x08, heightPx >> 8, heightPx & 0xff, widthPx >> 8, widthPx & 0xff],
  ...[0x01, 0x01, 0x11, 0x00],
];
const APP0 = [0xff, 0xe0, 0x00, 0x04, 0x4a, 0x46];
const jpeg = (...segments: readonly number[][]) => Uint8Array.from([0xff, 0xd8, ...segments.flat(), 0xff, 0xd9]);

describe('jpegSize', () => {
  it('reads width and height of baseline and progressive frames', () => {
    expect(jpegSize(jpeg(APP0, frame(0xc0, 480, 640)))).toEqual({ widthPx: 640, heightPx: 480 });
    expect(jpegSize(jpeg(APP0, [0xff], frame(0xc2, 3000, 4000)))).toEqual({ widthPx: 4000, heightPx: 3000 });
  });

  it.each([
    ['nothing', new Uint8Array()],
    ['a PNG', Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])],
    ['HTML', new TextEncoder().encode('<html><script>alert(1)</script></html>')],
    ['a JPEG that is cut off', jpeg(APP0, frame(0xc0, 480, 640)).slice(0, -1)],
    [
      'a JPEG with HTML after its end',
      Uint8Array.from([...jpeg(frame(0xc0, 4, 4)), ...new TextEncoder().encode('<b>')]),
    ],
    ['a frame without size', jpeg(frame(0xc0, 0, 0))],
    ['a Huffman table in the frame’s place', jpeg(frame(0xc4, 480, 640))],
    ['a segment longer than the file', jpeg([0xff, 0xe0, 0xff, 0xff])],
    ['no frame at all', jpeg(APP0)],
  ])('is null for %s', (_, bytes) => {
    expect(jpegSize(bytes)).toBeNull();
  });
});
