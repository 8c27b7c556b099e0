import { t } from '../../messages/translate.js';
import { LegendItem } from '../../ui/chart/ChartFigure.js';

/** What the marks of a plot of dots and intervals stand for. */
export function PlotLegend({
  start = false,
  band,
  reference,
  out = false,
}: {
  /** Whether starting values are drawn. */
  readonly start?: boolean;
  /** What the wide bar is. */
  readonly band?: string;
  /** What the dashed line is. */
  readonly reference?: string;
  readonly out?: boolean;
}) {
  return (
    <>
      <LegendItem
        mark={
          <>
            <path className="chart__whisker" d="M3 9H31M3 4v10M31 4v10" />
            <circle className="chart__dot" cx="17" cy="9" r="5" />
          </>
        }
      >
        {t('rates.legend.estimate')}
      </LegendItem>
      {band && (
        <LegendItem mark={<rect className="chart__band" x="2" y="2" width="30" height="14" />}>{band}</LegendItem>
      )}
      {start && (
        <LegendItem mark={<rect className="chart__start" x="12" y="4" width="10" height="10" />}>
          {t('rates.legend.start')}
        </LegendItem>
      )}
      {reference && <LegendItem mark={<path className="chart__centre" d="M2 9H32" />}>{reference}</LegendItem>}
      {out && (
        <LegendItem mark={<path className="chart__out" d="M17 1l8 8-8 8-8-8z" />}>{t('rates.legend.out')}</LegendItem>
      )}
    </>
  );
}
