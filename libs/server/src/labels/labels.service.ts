import { type LabelQuery, MAX_LABELS } from '@jarfold/contracts';
import {
  AppError,
  type Clock,
  dayFromColumn,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
} from '../platform/index.js';
import { type LabelGrid, singleLabel } from './label-layout.js';
import { type Label, labelPdf } from './label-pdf.js';

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

  /** @throws AppError `not-found` (no such lot, or one of the jars), `invalid-input` (the layout, no jars left) */
  async pdf(ctx: GrowerContext, query: LabelQuery): Promise<LabelFile> {
    const labels = await this.growerDb.read(ctx, (tx) => labelsFor(tx, ctx.growerId, query));
    const grid: LabelGrid = query.kind === 'single' ? singleLabel(query) : query;
    const first = labels[0]?.code ?? '';
    const title = labels.length === 1 ? first : `${first} and ${labels.length - 1} more`;
    const skip = query.kind === 'single' ? 0 : query.skip;
    const bytes = await labelPdf(labels, grid, { skip, title, madeAt: this.clock.now() });
    return { fileName: `labels-${first.replaceAll(/[^\w-]+/g, '-')}.pdf`, bytes };
  }
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
