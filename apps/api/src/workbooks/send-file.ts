import type { FileToSend } from '@jarfold/server';
import { StreamableFile } from '@nestjs/common';

export const XLSX_MEDIA_TYPE = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

/** An answer that a browser saves under the file's name and never shows as a page (RFC 6266, RFC 8187). */
export function sendFile({ fileName, bytes }: FileToSend, type: string): StreamableFile {
  const plain = fileName.replaceAll(/[^\w. -]/g, '_');
  const disposition = `attachment; filename="${plain}"; filename*=UTF-8''${encodeURIComponent(fileName).replaceAll(/['()*]/g, escaped)}`;
  return new StreamableFile(bytes, { type, disposition, length: bytes.length });
}

const escaped = (character: string) => `%${character.charCodeAt(0).toString(16).toUpperCase()}`;
