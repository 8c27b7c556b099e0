/** What is seen through the glass. Shares run from 0 to 1. */
export interface GlassContents {
  /** Share of the grain that has turned white. */
  readonly colonised: number;
  /** Share of a full jar still in it; 0 draws an empty glass. */
  readonly filled?: number;
  /** The lid lies beside the jar once it has been opened. */
  readonly opened?: boolean;
}

export interface GlassShape {
  readonly body: string;
  readonly grain: string | null;
  readonly kernels: string;
  readonly mycelium: string | null;
  readonly mould: string;
  readonly lid: string | null;
  readonly tape: string | null;
}

const BODY =
  'M11 14h18v3c4 1.500 6 4.500 6 9v25c0 3.500-2 5.500-5.500 5.500h-19C7 56.500 5 54.500 5 51V26c0-4.500 2-7.500 6-9z';
const FLOOR_Y = 55;
const FULL_TOP_Y = 25;
const LEFT_X = 6.5;
const RIGHT_X = 33.5;

/** The paths of a jar 40 wide and 60 high. Shares outside 0 to 1 are clamped: a drawing never overflows its glass. */
export function glassShape({ colonised, filled = 1, opened = false }: GlassContents): GlassShape {
  const contentTop = levelY(clamp(filled), FULL_TOP_Y);
  const white = clamp(colonised);
  const empty = clamp(filled) === 0;
  return {
    body: BODY,
    grain: empty ? null : column(contentTop, 0.6),
    kernels: kernelsBetween(contentTop + 1.5, FLOOR_Y - 2),
    mycelium: empty || white === 0 ? null : column(levelY(white, contentTop), white >= 1 ? 0.6 : 2),
    mould: 'M12 33c3-2.500 7-1 7 2s-3 5-6 4-4-4-1-6zM20 43c2-1.500 5-.5 4.500 2s-4 3-5.500 1.500 0-2.800 1-3.500z',
    lid: opened ? 'M22 8.500l13-5 2 5-13 5z' : 'M9 6h22v8H9z',
    tape: opened ? null : 'M8 8.500h24v3.500H8z',
  };
}

/** The height of a level, given what share of the way up to `topY` it stands. */
export function levelY(share: number, topY: number): number {
  return FLOOR_Y - share * (FLOOR_Y - topY);
}

function clamp(share: number): number {
  return Math.min(1, Math.max(0, share));
}

/** Contents up to a level, with an uneven upper edge as grain and mycelium have. */
function column(topY: number, waveY: number): string {
  const quarter = (RIGHT_X - LEFT_X) / 4;
  const y = round(topY);
  const waves = [1, -1, 1, -1].map((sign) => `q${quarter / 2} ${sign * -waveY} ${quarter} 0`).join('');
  return `M${LEFT_X} ${y}${waves}V51c0 2.800-1.400 4-4 4h-19c-2.600 0-4-1.200-4-4z`;
}

/** Short strokes, laid like grain: enough to read as kernels at shelf size, few enough to draw hundreds of jars. */
function kernelsBetween(topY: number, bottomY: number): string {
  const strokes: string[] = [];
  for (let row = 0, y = bottomY; y > topY; row += 1, y -= 5) {
    for (let x = row % 2 === 0 ? 9 : 12; x < 31; x += 6) strokes.push(`M${x} ${round(y)}l2.400-1.200`);
  }
  return strokes.join('');
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}
