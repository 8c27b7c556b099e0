/**
 * Spawn for a run as a trough: filled as far as it is covered, an empty dashed rest, a notch at the minimum, the end at
 * the target. Picture only; the words stand beside it.
 */
export function CoverageBar({
  coveredGrams,
  targetGrams,
  minGrams,
}: {
  readonly coveredGrams: number;
  readonly targetGrams: number;
  readonly minGrams: number;
}) {
  const share = (grams: number) => (targetGrams > 0 ? Math.min(1, Math.max(0, grams / targetGrams)) * WIDTH : WIDTH);
  return (
    <svg
      className="coverage-bar"
      viewBox={`0 0 ${WIDTH} 22`}
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <rect className="coverage-bar__trough" x="0" y="4" width={WIDTH} height="14" />
      <rect className="coverage-bar__spawn" x="0" y="4" width={share(coveredGrams)} height="14" />
      <path className="coverage-bar__minimum" d={`M${share(minGrams)} 0v4M${share(minGrams)} 18v4`} />
    </svg>
  );
}

const WIDTH = 200;
