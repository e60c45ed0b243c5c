"use client";
import { code39 } from "./code-39.ts";
import { confirmCode } from "./scan-rule.ts";

const quiet = 12;

/** The confirm code as bars, to scan from the screen or to print once and fix to the counter. */
export function ConfirmCard() {
  const { width, bars } = code39(confirmCode);
  return (
    <details className="rounded-xl border border-hairline bg-sheet p-4">
      <summary className="min-h-12 py-3 font-semibold">The confirm code, to scan here or to print for the counter</summary>
      <figure className="mt-3 max-w-lg rounded-lg bg-white p-4 text-center text-[#000000]">
        <svg viewBox={`0 0 ${width + 2 * quiet} 46`} role="img" aria-label={`Bar code of ${confirmCode}`} shapeRendering="crispEdges" className="w-full">
          {bars.map((bar) => (
            <rect key={bar.at} x={bar.at + quiet} y="0" width={bar.width} height="46" fill="#000000" />
          ))}
        </svg>
        <figcaption className="mt-2 font-plate text-xl font-bold">{confirmCode}</figcaption>
      </figure>
      <p className="mt-3 text-soft">Scanned third, it hands the party out, exactly as the button does. A hirer&apos;s own code is any text with H: in front, for example H:40817.</p>
    </details>
  );
}
