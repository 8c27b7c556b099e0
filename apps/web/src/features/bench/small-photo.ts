/** What the server takes of one picture, bytes. */
const MOST_BYTES = 300_000;
const LONGEST_SIDE_PX = [1280, 960, 640] as const;
const QUALITIES = [0.75, 0.55, 0.4] as const;

/**
 * A picture from the camera, made small enough to send from a tablet with a poor link.
 * @throws TypeError when the file is no picture the browser can read.
 */
export async function smallPhoto(file: Blob): Promise<string> {
  const picture = await createImageBitmap(file).catch(() => {
    throw new TypeError('not-a-picture');
  });
  for (const side of LONGEST_SIDE_PX) {
    const canvas = drawn(picture, side);
    for (const quality of QUALITIES) {
      const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/jpeg', quality));
      if (blob && blob.size <= MOST_BYTES) return base64(await blob.arrayBuffer());
    }
  }
  throw new TypeError('not-a-picture');
}

function drawn(picture: ImageBitmap, side: number): HTMLCanvasElement {
  const scale = Math.min(1, side / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas;
}

function base64(bytes: ArrayBuffer): string {
  let binary = '';
  for (const byte of new Uint8Array(bytes)) binary += String.fromCharCode(byte);
  return btoa(binary);
}
