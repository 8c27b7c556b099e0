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

/** A bag of bulk substrate with its filter patch, white as far as the spawn for it is covered. Picture only. */
export function SackDrawing({ covered }: { readonly covered: number }) {
  const share = Math.min(1, Math.max(0, covered));
  const top = Math.round((BAG_FLOOR_Y - share * (BAG_FLOOR_Y - BAG_SHOULDER_Y)) * 10) / 10;
  return (
    <svg className="object" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
      <path className="object__film" d={BAG} />
      <path className="object__sack" d={bagUpTo(BAG_SHOULDER_Y)} />
      {share > 0 && <path className="object__spawn" d={bagUpTo(top)} />}
      <path className="object__outline" d={BAG} />
      <path className="object__outline" d="M18 6h24M25 11h10v7H25z" />
    </svg>
  );
}

const BAG = 'M18 3h24l2 17q5 2 5 7v25q0 5-5 5H16q-5 0-5-5V27q0-5 5-7z';
const BAG_SHOULDER_Y = 25;
const BAG_FLOOR_Y = 56;

/** The contents of the bag up to a height, uneven at the top. */
function bagUpTo(topY: number): string {
  return `M11.800 ${topY}q9-3 18.200 0t18.200 0V52q0 4.200-4.200 4.200H16q-4.200 0-4.200-4.200z`;
}

/** A crate with jars that leave the farm, white as far as they are covered. Picture only. */
export function CrateDrawing({ covered }: { readonly covered: number }) {
  const share = Math.min(1, Math.max(0, covered));
  return (
    <svg className="object" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
      {CRATE_JARS_X.map((x, at) => (
        <g key={x}>
          <path className="object__film" d={crateJar(x)} />
          {share * CRATE_JARS_X.length >= at + 0.999 && <path className="object__spawn" d={crateJar(x)} />}
          <path className="object__outline" d={crateJar(x)} />
          <path className="object__metal" d={`M${x} 11h12v5h-12z`} />
        </g>
      ))}
      <path className="object__metal object__metal--light" d="M4 38h52v8H4zM4 48h52v8H4z" />
      <path className="object__outline" d="M4 34v22M56 34v22" />
    </svg>
  );
}

const CRATE_JARS_X = [8, 24, 40];
const crateJar = (x: number) => `M${x} 18h12v24h-12z`;

/** Into the cold, or out of it. Picture only. */
export function MoveDrawing({ kind }: { readonly kind: 'chill' | 'warm' }) {
  return (
    <svg className="object" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
      {kind === 'chill' ? (
        <path
          className="object__line object__line--frost"
          d="M30 8v44M11 19l38 22M49 19L11 41M24 12l6 5 6-5M24 48l6-5 6 5"
        />
      ) : (
        <>
          <circle className="object__dial" cx="30" cy="30" r="10" />
          <path
            className="object__line"
            d="M30 8v6M30 46v6M8 30h6M46 30h6M14.500 14.500l4 4M41.500 41.500l4 4M45.500 14.500l-4 4M18.500 41.500l-4 4"
          />
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
