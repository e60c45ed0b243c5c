/** Shapes that differ without colour: each is told from the others by its outline alone. */
const shapes = {
  tick: "M4 12.5 9.5 18 20 6.5",
  out: "M10 4H4v16h6M9 12h12m-5-5 5 5-5 5",
  drop: "M12 3s7 7.5 7 12a7 7 0 0 1-14 0c0-4.5 7-12 7-12Z",
  bath: "M3 11h18l-2 8H5l-2-8Zm3-6c1.5-1.5 3-1.5 4.5 0S13.5 6.5 15 5s2.5-1 3-.5",
  wind: "M3 8h11a3 3 0 1 0-3-3M3 12h15a3 3 0 1 1-3 3M3 16h7a2.5 2.5 0 1 1-2.5 2.5",
  tag: "M3 4h9l9 9-8 8-10-10V4Zm4.5 3.500h.01M10 14l5-3m-4-1 3 5",
  spanner: "M20 6.500a5 5 0 0 1-6.5 6L6 20a2 2 0 0 1-3-3l7.5-7.500a5 5 0 0 1 6-6.500l-3 3 .5 2.5 2.5.5 3.5-2.500Z",
  box: "M3 8l9-5 9 5v9l-9 5-9-5V8Zm0 0 9 5 9-5M12 13v9",
  pen: "M4 20h16M5 16 16 5l3 3L8 19H5v-3Z",
  lock: "M5 11h14v10H5V11Zm3 0V7a4 4 0 0 1 8 0v4m-4 4v3",
  minus: "M4 4h16v16H4V4Zm4 8h8",
  octagon: "M8.2 3h7.600L21 8.200v7.600L15.8 21H8.200L3 15.800V8.200L8.2 3ZM12 7v6m0 4h.01",
  triangle: "M12 3 22 21H2L12 3Zm0 7v5m0 3h.01",
  info: "M12 3a9 9 0 1 0 0 18 9 9 0 0 0 0-18Zm0 8v6m0-9.500h.01",
  sun: "M12 8a4 4 0 1 0 0 8 4 4 0 0 0 0-8Zm0-5v2m0 14v2M3 12h2m14 0h2M5.6 5.6 7 7m10 10 1.4 1.400m0-12.800L17 7M7 17l-1.4 1.4",
  desk: "M3 9h18M5 9v11m14-11v11M9 5h6v4H9V5Z",
  loop: "M3 5h18M8 17V7a4 4 0 0 1 8 0v8M8 17a2.5 2.5 0 1 0 .01 0Z",
  book: "M5 4h14v16H5V4Zm4 0v16m3-12h4m-4 4h4",
  swap: "M7 20V5m0 0L3 9m4-4 4 4m6-5v15m0 0 4-4m-4 4-4-4",
  house: "M3 11 12 3l9 8M6 9v12h12V9m-8 12v-6h4v6",
  more: "M4 6h16M4 12h16M4 18h16",
  up: "M12 20V5m0 0-6 6m6-6 6 6",
  down: "M12 4v15m0 0-6-6m6 6 6-6",
  upDown: "M8 20V5m0 0L4 9m4-4 4 4m4-5v15m0 0-4-4m4 4 4-4",
  clock: "M12 3a9 9 0 1 0 0 18 9 9 0 0 0 0-18Zm0 4v5l3.5 2.5",
  person: "M12 4a4 4 0 1 0 0 8 4 4 0 0 0 0-8ZM4 21c0-5 3.5-7 8-7s8 2 8 7",
  scan: "M3 8V4h4m10 0h4v4m0 8v4h-4M7 20H3v-4m3-8v8m3-8v8m3-8v8m3-8v8m3-8v8",
  camera: "M3 8h4l2-3h6l2 3h4v12H3V8Zm9 2.500a3.500 3.500 0 1 0 .01 0Z",
  backspace: "M8 5h13v14H8l-6-7 6-7Zm4 4 5 6m0-6-5 6",
  print: "M7 9V3h10v6M7 17H3V9h18v8h-4M7 14h10v7H7v-7Z",
  chart: "M4 4v16h16M8 15v-4m4 4V7m4 8v-6",
  weeks: "M3 4v16M7 6h7m-3 6h9M8 18h6",
  columns: "M3 4h18v16H3V4Zm6 0v16m6-16v16",
} as const;

export type IconName = keyof typeof shapes;

/** A line drawing beside a word; never the only carrier of a meaning, so hidden from screen readers. */
export function Icon({ name, size = 24 }: { name: IconName; size?: number }) {
  return (
    <svg className="shrink-0" width={size} height={size} viewBox="0 0 24 24" fill="none" stroke="currentColor" strokeWidth="2" strokeLinecap="round" strokeLinejoin="round" aria-hidden="true" focusable="false">
      <path d={shapes[name]} />
    </svg>
  );
}
