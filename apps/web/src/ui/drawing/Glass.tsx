import './glass.css';
import { type GlassContents, glassShape } from './glass-shape.js';

/** How the jar stands, told by the drawing's own shapes and never by tone alone. */
export type GlassMark = 'none' | 'ripe' | 'chilled' | 'suspect' | 'contaminated' | 'mother' | 'stranded';

export interface GlassProps extends GlassContents {
  readonly mark?: GlassMark;
  readonly size?: 'small' | 'shelf' | 'large';
}

/**
 * A jar: grain seen through glass, white mycelium rising through it, a strip of paper tape over the lid. It is a
 * picture only and hidden from assistive technology: whoever draws it also says it in words.
 */
export function Glass({ mark = 'none', size = 'shelf', ...contents }: GlassProps) {
  const shape = glassShape(contents);
  return (
    <svg className={`glass glass--${size} glass--${mark}`} viewBox="0 0 40 60" aria-hidden="true" focusable="false">
      <path className="glass__body" d={shape.body} />
      {shape.grain && <path className="glass__grain" d={shape.grain} />}
      {shape.grain && <path className="glass__kernels" d={shape.kernels} />}
      {shape.mycelium && <path className="glass__mycelium" d={shape.mycelium} />}
      {mark === 'contaminated' && <path className="glass__mould" d={shape.mould} />}
      <path className="glass__outline" d={shape.body} />
      <path className="glass__shine" d="M10.5 25v20" />
      {shape.lid && <path className="glass__lid" d={shape.lid} />}
      {shape.tape && <path className="glass__tape" d={shape.tape} />}
      <MarkShape mark={mark} />
    </svg>
  );
}

/** One shape per condition, so that a greyscale print still tells them apart. */
function MarkShape({ mark }: { readonly mark: GlassMark }) {
  switch (mark) {
    case 'ripe':
      return (
        <g className="glass__mark">
          <circle cx="30" cy="48" r="8" />
          <path d="M26 48l3 3 5-6" />
        </g>
      );
    case 'chilled':
      return (
        <g className="glass__mark glass__mark--frost">
          <circle cx="30" cy="48" r="8" />
          <path d="M30 43v10M25.700 45.500l8.600 5M34.300 45.500l-8.600 5" />
        </g>
      );
    case 'suspect':
      return (
        <g className="glass__mark glass__mark--care">
          <path d="M30 38.500l9.500 9.500-9.500 9.500-9.500-9.500z" />
          <path d="M27.600 46a2.400 2.400 0 1 1 3.600 2c-.8.500-1.200 1-1.200 2M30 52.600v.4" />
        </g>
      );
    case 'contaminated':
      return (
        <g className="glass__mark glass__mark--mould">
          <path d="M26.500 39.500h7l5 5v7l-5 5h-7l-5-5v-7z" />
          <path d="M27 45l6 6M33 45l-6 6" />
        </g>
      );
    case 'mother':
      return (
        <g className="glass__mark glass__mark--mother">
          <path d="M30 38l2.700 6.100 6.600.7-5 4.400 1.500 6.500-5.800-3.400-5.800 3.400 1.500-6.500-5-4.400 6.600-.7z" />
        </g>
      );
    case 'stranded':
      return (
        <g className="glass__mark glass__mark--care">
          <path d="M24 40h12v3l-4.500 5 4.500 5v3H24v-3l4.500-5-4.500-5z" />
          <path d="M26.500 54h7" />
        </g>
      );
    default:
      return null;
  }
}
