import { type LabelLayout, type LabelQuery, MAX_LABELS } from '@jarfold/contracts';
import {
  AppError,
  type Clock,
  dayFromColumn,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
} from '../platform/index.js';
import { gridOf } from './label-layout.js';
import { readLayout, writeLayout } from './label-layout.repository.js';
import type { Label, labelPdf } from './label-pdf.js';

export interface LabelFile {
  readonly fileName: string;
  readonly bytes: Uint8Array;
}

const STANDING = ['incubating', 'ripe', 'chilled', 'opened'];

/** Labels of jars and lots as they are known to the log. */
export class LabelsService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /**
   * Labels on the farm's own layout, or on what the query says instead.
   * @throws AppError `not-found` (no such lot, or one of the jars), `invalid-input` (the layout, no jars left)
   */
  async pdf(ctx: GrowerContext, query: LabelQuery): Promise<LabelFile> {
    const { labels, saved } = await this.growerDb.read(ctx, async (tx) => ({
      labels: await labelsFor(tx, ctx.growerId, query),
      saved: await readLayout(tx, ctx.growerId),
    }));
    const layout = layoutFrom(saved, query);
    const first = labels[0]?.code ?? '';
    const title = labels.length === 1 ? first : `${first} and ${labels.length - 1} more`;
    const skip = layout.kind === 'single' ? 0 : (query.skip ?? 0);
    const bytes = await drawn(labels, gridOf(layout), { skip, title, madeAt: this.clock.now() });
    return { fileName: `labels-${first.replaceAll(/[^\w-]+/g, '-')}.pdf`, bytes };
  }

  async layout(ctx: GrowerContext): Promise<LabelLayout> {
    return this.growerDb.read(ctx, (tx) => readLayout(tx, ctx.growerId));
  }

  /**
   * Remembers how the farm's labels lie. The whole layout is written, so the last one to save it wins.
   * @throws AppError `invalid-input` when the labels do not fit their page, or a usual code does not fit its label
   */
  async setLayout(ctx: GrowerContext, layout: LabelLayout): Promise<LabelLayout> {
    await tryOut(layout, this.clock.now());
    await this.growerDb.run(ctx, (tx) => writeLayout(tx, ctx.growerId, layout));
    return layout;
  }
}

/** Read when the first labels are drawn: a library of a hundred files, which no start of a process should wait for. */
const drawn: typeof labelPdf = async (...what) => (await import('./label-pdf.js')).labelPdf(...what);

/** As long as codes of the farm's own lots get in its first years. */
const USUAL_LABEL: Label = { code: 'OY3-26W48-12/07', lines: [] };

async function tryOut(layout: LabelLayout, madeAt: Date): Promise<void> {
  try {
    await drawn([USUAL_LABEL], gridOf(layout), { skip: 0, title: '', madeAt });
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    const errors = error.details.errors?.map((one) => ({ ...one, in: 'body' as const }));
    throw new AppError(error.code, error.message, errors ? { errors } : {});
  }
}

function layoutFrom(
  saved: LabelLayout,
  { lotId: _l, jarIds: _j, what: _w, skip: _s, ...asked }: LabelQuery,
): LabelLayout {
  const said = Object.entries(asked).filter(([, value]) => value !== undefined);
  return { ...saved, ...Object.fromEntries(said) };
}

async function labelsFor(
  tx: GrowerTx,
  growerId: string,
  { what, lotId, jarIds }: LabelQuery,
): Promise<readonly Label[]> {
  if (lotId !== undefined) {
    const lot = await tx.lot.findUnique({ where: { growerId_id: { growerId, id: lotId } }, include: SHOWN });
    if (!lot) throw new AppError('not-found', 'There is no lot with this id on the farm.');
    if (what === 'lot') return [lotLabel(lot)];
  }
  const wanted = lotId === undefined ? { id: { in: jarIds ?? [] } } : { lotId, state: { in: STANDING } };
  const jars = await tx.jar.findMany({
    where: { growerId, ...wanted },
    include: SHOWN,
    orderBy: { code: 'asc' },
    take: MAX_LABELS,
  });
  if (lotId === undefined && jars.length !== new Set(jarIds).size) {
    throw new AppError('not-found', 'One of the jars is not on the farm; nothing was printed.');
  }
  if (jars.length === 0)
    throw new AppError('rule-refused', 'No jar of this lot is left, so there is nothing to label.');
  return jars.map(jarLabel);
}

const SHOWN = { strain: { select: { shortCode: true, name: true } }, size: { select: { name: true } } } as const;

interface Labelled {
  readonly code: string;
  readonly generation: number | null;
  readonly madeOn: Date;
  readonly strain: { readonly shortCode: string; readonly name: string } | null;
  readonly size: { readonly name: string };
}

function jarLabel({ code, generation, madeOn, strain, size }: Labelled): Label {
  return { code, lines: [strain?.name ?? 'Blank', `${generationText(generation)}${dayFromColumn(madeOn)}`, size.name] };
}

function lotLabel(lot: Labelled & { readonly jarsMade: number }): Label {
  const { code, lines } = jarLabel(lot);
  return { code, lines: [...lines, `${lot.jarsMade} made`] };
}

const generationText = (generation: number | null): string => (generation === null ? '' : `G${generation}  `);
