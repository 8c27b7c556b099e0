import { labelLayoutSchema } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { type LayoutValues, layoutBody } from './layout-form.js';

/** The first page to scale, so that a slip of a millimetre is seen before paper is spent on it. */
export function SheetDrawing({ values }: { readonly values: LayoutValues }) {
  const read = labelLayoutSchema.safeParse(layoutBody(values, values));
  if (!read.success) return <p className="soft">{t('labels.noDrawing')}</p>;
  const layout = read.data;
  const single = layout.kind === 'single';
  const page = single
    ? { width: layout.labelWidthMm, height: layout.labelHeightMm }
    : { width: layout.pageWidthMm, height: layout.pageHeightMm };
  const [columns, rows] = single ? [1, 1] : [layout.columns, layout.rows];
  const places = Array.from({ length: columns * rows }, (_, at) => ({
    at,
    x: single ? 0 : layout.marginLeftMm + (at % columns) * (layout.labelWidthMm + layout.gapXMm),
    y: single ? 0 : layout.marginTopMm + Math.floor(at / columns) * (layout.labelHeightMm + layout.gapYMm),
  }));
  const right = Math.max(...places.map(({ x }) => x + layout.labelWidthMm));
  const bottom = Math.max(...places.map(({ y }) => y + layout.labelHeightMm));
  const fits = right <= page.width + 0.001 && bottom <= page.height + 0.001;
  const words = single
    ? t('labels.drawnSingle', { width: page.width, height: page.height })
    : t('labels.drawnSheet', { count: places.length, width: page.width, height: page.height });
  return (
    <figure className="sheet-drawing">
      <svg
        viewBox={`-1 -1 ${Math.max(page.width, right) + 2} ${Math.max(page.height, bottom) + 2}`}
        aria-hidden="true"
        focusable="false"
      >
        <rect className="sheet-drawing__page" width={page.width} height={page.height} />
        {places.map(({ at, x, y }) => (
          <rect
            key={at}
            className="sheet-drawing__label"
            x={x}
            y={y}
            width={layout.labelWidthMm}
            height={layout.labelHeightMm}
          />
        ))}
      </svg>
      <figcaption>{fits ? words : t('labels.tooLarge')}</figcaption>
    </figure>
  );
}
