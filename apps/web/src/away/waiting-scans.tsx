"use client";
import type { ReactNode } from "react";
import { notRecordedTitle, refusedWords, stepWords, waitingWords } from "../away-words.ts";
import { Button } from "../components/button.tsx";
import { Icon } from "../components/icon.tsx";
import { Plate } from "../components/plate.tsx";
import { Instant } from "../components/when.tsx";
import type { Scan } from "./scans.ts";
import { scanStore } from "./store.ts";

type WaitingScansProps = { scans: readonly Scan[]; timeZone: string; /** The button that sends, where sending can be tried. */ children?: ReactNode; /** May a refused scan be sent again from here? */ maySend: boolean };

/** The scans this tablet has not got rid of: what waits, since when, and what was refused and why. */
export function WaitingScans({ scans, timeZone, maySend, children }: WaitingScansProps) {
  if (scans.length === 0) return null;
  const refused = scans.filter((scan) => scan.refused !== null);
  const waiting = scans.filter((scan) => scan.refused === null);
  return (
    <section aria-labelledby="waiting-scans" className="sheet grid gap-4 border-2 border-edge">
      <h2 id="waiting-scans">Scans made without the network</h2>
      <p role="status" className="text-xl">
        {waitingWords(scans, timeZone) ?? "No scan waits to be sent."}
      </p>
      {waiting.length === 0 ? null : (
        <ol className="grid gap-2" aria-label="Scans that wait, in order">
          {waiting.map((scan) => (
            <li key={scan.nth} className="flex flex-wrap items-center gap-x-4 gap-y-1 border-b border-hairline pb-2">
              <Icon name="clock" />
              <ScanLine scan={scan} timeZone={timeZone} />
            </li>
          ))}
        </ol>
      )}
      {refused.length === 0 ? null : (
        <ul className="grid gap-4" aria-label="Scans that were refused">
          {refused.map((scan) => (
            <li key={scan.nth} className="tinted grid gap-3 rounded-xl p-4" data-tone="stop">
              <p className="flex flex-wrap items-center gap-x-4 gap-y-1 font-semibold">
                <Icon name="octagon" /> {notRecordedTitle}
                <ScanLine scan={scan} timeZone={timeZone} />
              </p>
              <p>{refusedWords(scan, timeZone)}</p>
              <div className="flex flex-wrap gap-4">
                {maySend ? (
                  <Button onClick={() => void scanStore.mark(scan.nth, null)}>Send {scan.tag} again</Button>
                ) : null}
                <Button onClick={() => void scanStore.remove(scan.nth)}>{scan.tag} seen, put it away</Button>
              </div>
            </li>
          ))}
        </ul>
      )}
      {children}
    </section>
  );
}

function ScanLine({ scan, timeZone }: { scan: Scan; timeZone: string }) {
  return (
    <>
      <span className="flex flex-wrap gap-2">
        {[scan.tag, ...scan.others].map((tag) => (
          <Plate key={tag} tag={tag} />
        ))}
      </span>
      <span>
        {stepWords(scan.says)}, <Instant at={scan.scannedAt} timeZone={timeZone} short /> by this tablet
      </span>
    </>
  );
}
