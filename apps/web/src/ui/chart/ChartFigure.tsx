import './chart.css';
import { type ReactNode, useId } from 'react';
import { useWidth } from './use-width.js';

/**
 * A drawing with a name and a description for those who do not see it. The same numbers stand in a table beside every
 * chart, so the description says what there is to see, not each number.
 */
export function ChartFigure({
  title,
  desc,
  height,
  legend,
  children,
}: {
  readonly title: string;
  readonly desc: string;
  readonly height: number | ((width: number) => number);
  readonly legend?: ReactNode;
  readonly children: (width: number, height: number) => ReactNode;
}) {
  const id = useId();
  const [box, width] = useWidth();
  const high = typeof height === 'number' ? height : height(width);
  return (
    <figure className="chart">
      <div className="chart__box" ref={box}>
        {width > 0 && (
          <svg
            className="chart__drawing"
            viewBox={`0 0 ${width} ${high}`}
            width={width}
            height={high}
            role="img"
            aria-labelledby={`${id}-title`}
            aria-describedby={`${id}-desc`}
          >
            <title id={`${id}-title`}>{title}</title>
            <desc id={`${id}-desc`}>{desc}</desc>
            {children(width, high)}
          </svg>
        )}
      </div>
      {legend && <figcaption className="chart__legend">{legend}</figcaption>}
    </figure>
  );
}

/** What a mark of a chart stands for: its shape beside its word. */
export function LegendItem({ mark, children }: { readonly mark: ReactNode; readonly children: ReactNode }) {
  return (
    <span className="chart__key">
      <svg width="34" height="18" viewBox="0 0 34 18" aria-hidden="true" focusable="false">
        {mark}
      </svg>
      {children}
    </span>
  );
}
