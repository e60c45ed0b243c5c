"use client";
import { keepPreviousData, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import type { SetView } from "../../../desk-words.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Hire } from "./hire-details.ts";
import { mostSets, withTags } from "./tags-of.ts";

/** The sets at the desk and what is true of them for this hire, judged again with every change of either. */
export function useParty(first: readonly string[], hire: Hire | null) {
  const trpc = useTRPC();
  const [tags, setTags] = useState(first);
  const judged = useQuery(trpc.desk.lookUp.queryOptions({ tags: [...tags], hire }, { enabled: tags.length > 0, placeholderData: keepPreviousData, staleTime: 0 }));

  const found: readonly SetView[] = tags.length === 0 ? [] : (judged.data?.sets ?? []);
  const unknown = tags.length === 0 ? [] : (judged.data?.unknown ?? []);
  const sets = tags.flatMap((tag) => found.find((set) => set.tag === tag) ?? []);
  const change = (next: readonly string[]) => {
    setTags(next);
    // The address keeps the party through a reload and through a look at another screen.
    window.history.replaceState(null, "", withTags("/desk", next));
  };

  return {
    sets,
    unknown,
    /** Scanned, but not answered for yet. */
    waitingFor: tags.filter((tag) => !unknown.includes(tag) && !sets.some((set) => set.tag === tag)),
    judging: judged.isPlaceholderData || (tags.length > 0 && judged.data === undefined && judged.error === null),
    error: tags.length === 0 ? null : judged.error,
    isFull: tags.length - unknown.length >= mostSets,
    has: (tag: string) => tags.includes(tag) && !unknown.includes(tag),
    // A tag nobody knows leaves with the next scan.
    add: (tag: string) => change([...tags.filter((one) => !unknown.includes(one) && one !== tag), tag]),
    takeOut: (tag: string) => change(tags.filter((one) => one !== tag)),
    replace: (held: string, tag: string) => change(tags.map((one) => (one === held ? tag : one))),
    start: (next: readonly string[]) => change(next),
    judgeAgain: () => void judged.refetch(),
  };
}
