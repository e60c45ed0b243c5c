"use client";
import { useQueries } from "@tanstack/react-query";
import { useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { washReasonWords } from "../../../../wash-words.ts";
import { errorWords } from "../../../../words.ts";

/** What the server says of one set and this bath. */
export type Verdict = { may: boolean; refused: boolean; words: string };

const waiting: Verdict = { may: false, refused: false, words: "Being asked…" };

/** For each tag, whether it may go into the bath now; empty until a bath is chosen. */
export function useVerdicts(bathId: string | null, tags: readonly string[]): ReadonlyMap<string, Verdict> {
  const trpc = useTRPC();
  const { site } = useWho();
  return useQueries({
    queries: bathId === null ? [] : tags.map((tag) => trpc.washRoom.mayGoIn.queryOptions({ bathId, tag }, { staleTime: 0 })),
    combine: (answers) =>
      new Map(
        answers.map(({ data, error }, at): [string, Verdict] => {
          const tag = tags[at] ?? "";
          if (error !== null) return [tag, { may: false, refused: true, words: errorWords(error) }];
          if (data === undefined) return [tag, waiting];
          if (data.answer === "may") return [tag, { may: true, refused: false, words: `${tag} may go in.` }];
          return [tag, { may: false, refused: true, words: data.reasons.map((reason) => washReasonWords(reason, site.timeZone)).join(" ") }];
        }),
      ),
  });
}
