"use client";
import type { RefObject } from "react";

/** The browser's own chooser of a CSV file; out of sight, a button of ours opens it. */
export function SheetChooser({ field, label, onFile }: { field: RefObject<HTMLInputElement | null>; label: string; onFile: (file: File | undefined) => void }) {
  return (
    <input
      ref={field}
      type="file"
      accept=".csv,.txt,.tsv,text/csv,text/plain,text/tab-separated-values"
      aria-label={label}
      tabIndex={-1}
      className="sr-only"
      onChange={(event) => {
        onFile(event.target.files?.[0]);
        // So that the same file, corrected, can be chosen again.
        event.target.value = "";
      }}
    />
  );
}
