"use client";
import { lazy, Suspense, useState } from "react";
import { confirmCode } from "./scan-rule.ts";

// Most desks have it printed; its bars are not loaded for them. Unreachable, the code can still be typed.
const ConfirmBars = lazy(() => import("./confirm-bars.tsx").catch(() => ({ default: () => <p>The bars could not be loaded. Type the code instead.</p> })));

/** The confirm code as bars, to scan from the screen or to print once and fix to the counter. */
export function ConfirmCard() {
  const [open, setOpen] = useState(false);
  return (
    <details className="rounded-xl border border-hairline bg-sheet p-4" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary className="min-h-12 py-3 font-semibold">The confirm code, to scan here or to print for the counter</summary>
      {open ? (
        <figure className="mt-3 max-w-lg rounded-lg bg-white p-4 text-center text-[#000000]">
          <Suspense fallback={<p role="status">Being drawn…</p>}>
            <ConfirmBars />
          </Suspense>
          <figcaption className="mt-2 font-plate text-xl font-bold">{confirmCode}</figcaption>
        </figure>
      ) : null}
      <p className="mt-3 text-soft">Scanned third, it hands the party out, exactly as the button does. A hirer&apos;s own code is any text with H: in front, for example H:40817; a name of two words or more may be typed as it is.</p>
    </details>
  );
}
