import type { CalendarDay } from '../calendar/calendar-day.js';
import { addDays } from '../calendar/calendar-day.js';

/** Something of a whole day in a calendar. */
export interface DayEvent {
  /** The same for the same thing, so that a program that reads again changes it instead of adding another. */
  readonly id: string;
  readonly day: CalendarDay;
  readonly summary: string;
  readonly description: string;
  readonly category: string;
}

export interface DayCalendar {
  readonly name: string;
  /** ISO 8601, UTC: when it was told. */
  readonly madeAt: string;
  readonly events: readonly DayEvent[];
}

/** A calendar program may ask again this often. */
const REFRESH = 'PT6H';

/**
 * A calendar of whole days as text.
 * Source: RFC 5545 (3.1 lines and folding, 3.3.11 text, 3.6.1 events, 3.8.2.2: DTEND is the day after) and RFC 7986 (5.1
 * NAME, 5.7 REFRESH-INTERVAL).
 */
export function calendarText({ name, madeAt, events }: DayCalendar): string {
  const stamp = `${madeAt.replace(/[-:]|\.\d+/g, '')}`;
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Jarfold//Calendar feed//EN',
    'CALSCALE:GREGORIAN',
    `NAME:${text(name)}`,
    `X-WR-CALNAME:${text(name)}`,
    `REFRESH-INTERVAL;VALUE=DURATION:${REFRESH}`,
    ...events.flatMap((event) => eventLines(event, stamp)),
    'END:VCALENDAR',
  ];
  return lines.map((line) => `${folded(line)}\r\n`).join('');
}

function eventLines({ id, day, summary, description, category }: DayEvent, stamp: string): string[] {
  return [
    'BEGIN:VEVENT',
    `UID:${text(id)}`,
    `DTSTAMP:${stamp}`,
    `DTSTART;VALUE=DATE:${day.replaceAll('-', '')}`,
    `DTEND;VALUE=DATE:${addDays(day, 1).replaceAll('-', '')}`,
    `SUMMARY:${text(summary)}`,
    ...(description === '' ? [] : [`DESCRIPTION:${text(description)}`]),
    `CATEGORIES:${text(category)}`,
    'TRANSP:TRANSPARENT',
    'END:VEVENT',
  ];
}

/** RFC 5545, 3.3.11; other control characters may not stand in a line at all. */
function text(value: string): string {
  return value
    .replace(/\\/g, '\\\\')
    .replace(/[;,]/g, (found) => `\\${found}`)
    .replace(/\r\n|\n|\r/g, '\\n')
    .replace(/\p{Cc}/gu, ' ');
}

/** Lines of at most 75 octets, parted between characters; what follows begins with a space (RFC 5545, 3.1). */
function folded(line: string): string {
  const pieces: string[] = [];
  let piece = '';
  let octets = 0;
  for (const character of line) {
    const more = octetsOf(character);
    if (octets + more > 75) {
      pieces.push(piece);
      piece = '';
      octets = 1;
    }
    piece += character;
    octets += more;
  }
  return [...pieces, piece].join('\r\n ');
}

/** Octets of a character in UTF-8. */
function octetsOf(character: string): number {
  const code = character.codePointAt(0) ?? 0;
  if (code < 0x80) return 1;
  if (code < 0x800) return 2;
  return code < 0x10000 ? 3 : 4;
}
