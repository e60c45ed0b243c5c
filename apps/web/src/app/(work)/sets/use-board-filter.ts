"use client";
import type { SetState } from "@hangrail/rules/set-state";
import { usePathname, useSearchParams } from "next/navigation";
import { readBoardQuestion, type BoardQuestion } from "./board-question.ts";

type Filter = { q: string; states: readonly SetState[]; model: string };

/** What the board is asked for, as it stands in the address, and a way to change its filter. */
export function useBoardFilter(): { question: BoardQuestion; change: (next: Partial<Filter>) => void } {
  const params = useSearchParams();
  const path = usePathname();
  const question = readBoardQuestion(params);
  const change = (next: Partial<Filter>) => {
    const filter: Filter = { q: question.search ?? "", states: question.states, model: question.modelId ?? "", ...next };
    const address = new URLSearchParams(params);
    // Another filter begins again at its first page.
    address.delete("page");
    put(address, "q", filter.q.trim());
    put(address, "state", filter.states.join(" "));
    put(address, "model", filter.model);
    window.history.pushState(null, "", address.size === 0 ? path : `${path}?${address.toString()}`);
  };
  return { question, change };
}

function put(address: URLSearchParams, key: string, value: string): void {
  if (value === "") address.delete(key);
  else address.set(key, value);
}
