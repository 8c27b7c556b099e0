/**
 * Labels as paper would carry them: the PDF is drawn by poppler (an independent renderer) and the symbols are read by
 * jsQR (an independent decoder), so that nothing of ours vouches for itself.
 */
import { execFileSync } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { labelQuerySchema, STARTING_LABEL_LAYOUT } from '@jarfold/contracts';
import { LabelsService } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import jsQRModule from 'jsqr';
import { type BenchFarm, makeBenchFarm, Tablet } from '../support/bench-farm.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

// The package is CommonJS: its function arrives as a member of the default import here and bare elsewhere.
const jsQR = ((jsQRModule as unknown as { default?: typeof jsQRModule }).default ?? jsQRModule) as unknown as (
  data: Uint8ClampedArray,
  width: number,
  height: number,
) => { readonly data: string } | null;

const clock = { now: () => new Date('2026-11-25T08:00:00Z') };
const DOTS_PER_INCH = 203; // a common label printer
const hasPoppler = (() => {
  try {
    execFileSync('pdftoppm', ['-v'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
})();
const ifPoppler = hasPoppler ? it : it.skip;

let database: TestDatabase;
let farm: BenchFarm;
let tablet: Tablet;
let labels: LabelsService;
let lotId: string;
let jarIds: string[];
beforeAll(async () => {
  database = await createTestDatabase();
  farm = await makeBenchFarm(database, clock);
  tablet = new Tablet(farm, clock);
  labels = new LabelsService(database.growerDb, clock);
  jarIds = Array.from({ length: 30 }, () => randomUUID());
  const lot = tablet.received(jarIds);
  lotId = lot.lotId;
  await tablet.log('received', lot);
});
afterAll(() => database.close());

const pdfOf = async (query: Record<string, string>) =>
  (await labels.pdf(farm.ctx, labelQuerySchema.parse(query))).bytes;

interface Page {
  readonly width: number;
  readonly height: number;
  readonly grey: Uint8Array;
}

/** Pages as poppler draws them: binary PGM, 8 bits of grey. */
function drawn(pdf: Uint8Array): { readonly pages: readonly Page[]; readonly text: string } {
  const folder = mkdtempSync(join(tmpdir(), 'labels-'));
  try {
    writeFileSync(join(folder, 'l.pdf'), pdf);
    execFileSync('pdftoppm', ['-gray', '-r', String(DOTS_PER_INCH), join(folder, 'l.pdf'), join(folder, 'p')]);
    const text = execFileSync('pdftotext', ['-layout', join(folder, 'l.pdf'), '-']).toString();
    const files = readdirSync(folder).filter((name) => name.endsWith('.pgm'));
    return { pages: files.sort().map((name) => pageFrom(readFileSync(join(folder, name)))), text };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function pageFrom(file: Buffer): Page {
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(file.subarray(0, 40).toString('latin1'));
  if (!head) throw new Error('poppler gave no PGM.');
  return { width: Number(head[1]), height: Number(head[2]), grey: file.subarray(head[0].length) };
}

const dots = (mm: number) => Math.round((mm / 25.4) * DOTS_PER_INCH);

/** What jsQR reads in a rectangle of a page. */
function readAt(page: Page, xMm: number, yMm: number, widthMm: number, heightMm: number): string | undefined {
  const [x, y, width, height] = [dots(xMm), dots(yMm), dots(widthMm), dots(heightMm)];
  const rgba = new Uint8ClampedArray(width * height * 4);
  for (let row = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1) {
      const grey = page.grey[(y + row) * page.width + x + column] ?? 255;
      rgba.set([grey, grey, grey, 255], (row * width + column) * 4);
    }
  }
  return jsQR(rgba, width, height)?.data;
}

describe('labels of a lot', () => {
  ifPoppler('on the usual grid each carry their own jar’s code, in order, on as many pages as it takes', async () => {
    const { pages, text } = drawn(await pdfOf({ lotId }));
    expect(pages).toHaveLength(2);
    const read = Array.from({ length: 30 }, (_, at) => {
      const onPage = at % 27;
      const page = pages[Math.floor(at / 27)] as Page;
      return readAt(page, 12 + (onPage % 3) * 63, 10 + Math.floor(onPage / 3) * 31, 60, 30);
    });
    expect(read).toEqual(Array.from({ length: 30 }, (_, at) => `OY3-26W48-1/${String(at + 1).padStart(2, '0')}`));
    for (const words of ['OY3-26W48-1/07', 'Grey', 'G1', '2026-11-25', 'Litre']) expect(text).toContain(words);
  });

  ifPoppler('one a page for a label printer, and one for the lot as a whole', async () => {
    const size = { kind: 'single', labelWidthMm: '50', labelHeightMm: '25' };
    const { pages } = drawn(await pdfOf({ jarIds: jarIds.slice(0, 2).join(','), ...size }));
    expect(pages.map(({ width, height }) => [width, height])).toEqual([
      [dots(50), dots(25)],
      [dots(50), dots(25)],
    ]);
    expect(readAt(pages[1] as Page, 0, 0, 50, 25)).toBe('OY3-26W48-1/02');
    const lot = drawn(await pdfOf({ lotId, what: 'lot', ...size }));
    expect(readAt(lot.pages[0] as Page, 0, 0, 50, 25)).toBe('OY3-26W48-1');
    expect(lot.text).toContain('30 made');
  });

  ifPoppler('leaves out what is used already of the first sheet', async () => {
    const { pages } = drawn(await pdfOf({ jarIds: jarIds[4] ?? '', skip: '4' }));
    expect(readAt(pages[0] as Page, 12, 10, 60, 30)).toBeUndefined();
    expect(readAt(pages[0] as Page, 12 + 63, 10 + 31, 60, 30)).toBe('OY3-26W48-1/05');
  });

  ifPoppler('a strain whose name the built-in type does not know is still printed', async () => {
    await database.sql("UPDATE strain SET name = 'Żółta 平菇' WHERE grower_id = $1", [farm.ctx.growerId]);
    const { text } = drawn(await pdfOf({ jarIds: jarIds[0] ?? '' }));
    expect(text).toContain('Zółta'.replace('ł', '·'));
  });
});

describe('the farm’s own layout', () => {
  const SINGLE = { ...STARTING_LABEL_LAYOUT, kind: 'single', labelWidthMm: 50, labelHeightMm: 25 } as const;
  afterAll(() => labels.setLayout(farm.ctx, STARTING_LABEL_LAYOUT));

  it('is a usual sheet before anybody says so, and then what was said', async () => {
    expect(await labels.layout(farm.ctx)).toEqual(STARTING_LABEL_LAYOUT);
    await labels.setLayout(farm.ctx, SINGLE);
    expect(await labels.layout(farm.ctx)).toEqual(SINGLE);
  });

  ifPoppler('is what labels are printed on unless the query says otherwise', async () => {
    await labels.setLayout(farm.ctx, SINGLE);
    const own = drawn(await pdfOf({ jarIds: jarIds.slice(0, 2).join(',') }));
    expect(own.pages.map(({ width }) => width)).toEqual([dots(50), dots(50)]);
    const once = drawn(await pdfOf({ jarIds: jarIds.slice(0, 2).join(','), kind: 'sheet', labelWidthMm: '60' }));
    expect(once.pages.map(({ width }) => width > dots(200))).toEqual([true]);
  });

  it.each([
    [{ ...STARTING_LABEL_LAYOUT, columns: 4 }, '/columns'],
    [{ ...SINGLE, labelWidthMm: 20, labelHeightMm: 12 }, '/labelHeightMm'],
  ])('is not kept when it does not fit, and says where', async (layout, pointer) => {
    const before = await labels.layout(farm.ctx);
    await expect(labels.setLayout(farm.ctx, layout)).rejects.toMatchObject({
      code: 'invalid-input',
      details: { errors: [expect.objectContaining({ in: 'body', pointer })] },
    });
    expect(await labels.layout(farm.ctx)).toEqual(before);
  });
});

describe('labels that cannot be', () => {
  it.each([
    [{ columns: '4' }, '/columns'],
    [{ rows: '20' }, '/rows'],
    [{ skip: '27' }, '/skip'],
    [{ kind: 'single', labelWidthMm: '20', labelHeightMm: '12' }, '/labelHeightMm'],
  ])('%j says what does not fit', async (query, pointer) => {
    await expect(pdfOf({ lotId, ...query })).rejects.toMatchObject({
      code: 'invalid-input',
      details: { errors: [expect.objectContaining({ pointer })] },
    });
  });

  it('of a jar or lot of nobody here are not found', async () => {
    await expect(pdfOf({ lotId: randomUUID() })).rejects.toMatchObject({ code: 'not-found' });
    const oneStrange = `${jarIds[0]},${randomUUID()}`;
    await expect(pdfOf({ jarIds: oneStrange })).rejects.toMatchObject({ code: 'not-found' });
  });

  it('need either a lot or jars', () => {
    for (const query of [{}, { lotId, jarIds: lotId }, { what: 'lot', jarIds: lotId }]) {
      expect(labelQuerySchema.safeParse(query).success).toBe(false);
    }
  });
});
