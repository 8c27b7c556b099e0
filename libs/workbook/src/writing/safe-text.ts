const LOOKS_ESCAPED = /_x(?=[0-9A-Fa-f]{4}_)/g;

/** XML cannot hold control characters; text that looks like an escape is escaped, or it would read back as another. */
export function safeText(text: string): string {
  return text.replace(/(?![\n\t])\p{Cc}/gu, ' ').replace(LOOKS_ESCAPED, '_x005F_x');
}
