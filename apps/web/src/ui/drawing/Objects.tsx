import './objects.css';

/** A pressure vessel: stands for steriliser cycles. Picture only. */
export function PotDrawing() {
  return (
    <svg className="object" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
      <path className="object__metal" d="M8 26h44v24c0 4-2 6-6 6H14c-4 0-6-2-6-6z" />
      <path className="object__metal object__metal--light" d="M6 20h48v7H6z" />
      <path className="object__metal" d="M14 20c2-6 8-8 16-8s14 2 16 8z" />
      <path className="object__line" d="M30 12V7M25 7h10M2 32h6M52 32h6" />
      <circle className="object__dial" cx="43" cy="11" r="5.500" />
      <path className="object__line" d="M43 11l2.500-2.500" />
    </svg>
  );
}

/** A sack of bulk substrate, white as far as the spawn for it is covered. Picture only. */
export function SackDrawing({ covered }: { readonly covered: number }) {
  const share = Math.min(1, Math.max(0, covered));
  const top = Math.round((54 - share * 34) * 10) / 10;
  return (
    <svg className="object" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
      <path className="object__sack" d={SACK} />
      {share > 0 && <path className="object__spawn" d={sackUpTo(top)} />}
      <path className="object__outline" d={SACK} />
      <path className="object__line" d="M21 15c6 2 12 2 18 0" />
    </svg>
  );
}

const SACK = 'M20 4l4 8h12l4-8c2 2 3 5 1 10 7 5 10 14 10 24 0 12-3 18-9 18H18c-6 0-9-6-9-18 0-10 3-19 10-24-2-5-1-8 1-10z';

/** The lower part of the sack up to a height; sides follow the sack closely enough at this size. */
function sackUpTo(topY: number): string {
  const inset = topY < 30 ? (30 - topY) * 0.5 : 0;
  const left = 10.5 + inset;
  const right = 49.5 - inset;
  return `M${left} ${topY}q10-3 ${(right - left) / 2} 0t${(right - left) / 2} 0L49.500 38c0 11-3 16.500-8 16.500h-23c-5 0-8-5.500-8-16.500z`;
}

/** Into the cold, or out of it. Picture only. */
export function MoveDrawing({ kind }: { readonly kind: 'chill' | 'warm' }) {
  return (
    <svg className="object" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
      {kind === 'chill' ? (
        <path className="object__line object__line--frost" d="M30 8v44M11 19l38 22M49 19L11 41M24 12l6 5 6-5M24 48l6-5 6 5" />
      ) : (
        <>
          <circle className="object__dial" cx="30" cy="30" r="10" />
          <path className="object__line" d="M30 8v6M30 46v6M8 30h6M46 30h6M14.500 14.500l4 4M41.500 41.500l4 4M45.500 14.500l-4 4M18.500 41.500l-4 4" />
        </>
      )}
    </svg>
  );
}

/** A culture plate: generation 0 on order. Picture only. */
export function PlateDrawing() {
  return (
    <svg className="object" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
      <ellipse className="object__dial" cx="30" cy="40" rx="24" ry="12" />
      <ellipse className="object__spawn" cx="30" cy="39" rx="13" ry="6" />
      <path className="object__outline" d="M6 40v6c0 6 11 11 24 11s24-5 24-11v-6" />
    </svg>
  );
}
