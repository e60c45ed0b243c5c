/** What every chart here is drawn with: the colours of the page, and shapes that tell series apart without colour. */

export const INK = "var(--ink)";
export const SOFT = "var(--soft)";
export const LINE = "var(--sea)";
export const ALARM = "var(--danger)";
export const GRID = "var(--hairline)";
export const SHEET = "var(--sheet)";
export const REST = "var(--rest-back)";

export const axis = { stroke: SOFT, tick: { fill: INK, fontSize: 15 }, tickLine: false } as const;
export const margin = { top: 12, right: 24, bottom: 28, left: 8 } as const;
/** Line patterns in the order series come. */
export const DASHES = ["0", "10 6", "3 5", "14 5 3 5", "20 8", "2 8"] as const;

type Dot = { cx?: number | undefined; cy?: number | undefined };

/** Round a point, as wide as a finger: opens the faults behind it. For who has no pointer the table has the same links. */
export const Opens = ({ cx = 0, cy = 0, onPick }: Dot & { onPick: () => void }) => <circle cx={cx} cy={cy} r={20} fill="transparent" cursor="pointer" onClick={onPick} />;

export const Diamond = ({ cx = 0, cy = 0 }: Dot) => <path d={`M${cx} ${cy - 9}l9 9-9 9-9-9Z`} fill={LINE} />;
export const Ring = ({ cx = 0, cy = 0 }: Dot) => <circle cx={cx} cy={cy} r={6} fill={SHEET} stroke={INK} strokeWidth={2} />;
/** A month that signals: larger, another shape, and with a word beside it. */
export const Alarm = ({ cx = 0, cy = 0, word }: Dot & { word: string }) => (
  <g>
    <path d={`M${cx} ${cy - 12}l12 20h-24Z`} fill={ALARM} />
    <text x={cx} y={cy - 18} textAnchor="middle" fill={INK} fontSize={15} fontWeight={700}>
      {word}
    </text>
  </g>
);
/** The best of a line: a diamond, with a word above it. */
export const Best = ({ cx = 0, cy = 0, word }: Dot & { word: string }) => (
  <g>
    <Diamond cx={cx} cy={cy} />
    <text x={cx} y={cy - 16} textAnchor="middle" fill={INK} fontSize={15} fontWeight={700}>
      {word}
    </text>
  </g>
);
