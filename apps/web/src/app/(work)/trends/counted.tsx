import type { ReactNode } from "react";
import { Notice } from "../../../components/notice.tsx";
import { errorWords } from "../../../words.ts";

type CountedProps<Found> = { query: { readonly data: Found | undefined; readonly error: unknown }; children: (found: Found) => ReactNode };

/** What was counted, once it is there; until then and when it fails, a sentence. */
export function Counted<Found>({ query, children }: CountedProps<Found>) {
  if (query.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read">
        <p>{errorWords(query.error)}</p>
      </Notice>
    );
  }
  return query.data === undefined ? <p role="status">Being counted…</p> : children(query.data);
}
