import type { TracePoint } from '@jarfold/domain';

/**
 * As many points of a trace as a screen can show, with nothing of its shape lost: of each stretch the coldest and the
 * hottest point stay, in order, and both ends.
 */
export function thinned(points: readonly TracePoint[], most: number): readonly TracePoint[] {
  if (points.length <= most) return points;
  const size = Math.ceil(points.length / (most / 2));
  const kept = new Set<TracePoint>([points[0]!, points.at(-1)!]);
  for (let from = 0; from < points.length; from += size) {
    const stretch = points.slice(from, from + size);
    kept.add(stretch.reduce((one, other) => (other.temperatureC < one.temperatureC ? other : one)));
    kept.add(stretch.reduce((one, other) => (other.temperatureC > one.temperatureC ? other : one)));
  }
  return points.filter((point) => kept.has(point));
}
