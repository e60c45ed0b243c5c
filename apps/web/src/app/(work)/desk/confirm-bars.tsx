"use client";
import { code39 } from "./code-39.ts";
import { confirmCode } from "./scan-rule.ts";

/** Light modules on either side, without which a scanner finds no beginning. */
const quiet = 12;
const height = 46;

export default function ConfirmBars() {
  const { width, bars } = code39(confirmCode);
  return (
    <svg viewBox={`0 0 ${width + 2 * quiet} ${height}`} role="img" aria-label={`Bar code of ${confirmCode}`} shapeRendering="crispEdges" className="w-full">
      {bars.map((bar) => (
        <rect key={bar.at} x={bar.at + quiet} y="0" width={bar.width} height={height} fill="#000000" />
      ))}
    </svg>
  );
}
