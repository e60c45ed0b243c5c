"use client";
import type { SolveLine } from "@hangrail/api/plan-stream";
import type { SolveEvent } from "@hangrail/api/plan-view";
import { TRPCClientError } from "@trpc/client";
import type { Inputs } from "../../../trpc/types.ts";

export type SolveInput = Inputs["plan"]["solve"];

/**
 * Has a plan worked out and hears of it as it goes, an event a line. Ends the search when `signal` is
 * aborted; what was found by then is lost.
 *
 * Errors: rejects as any call does.
 */
export async function solveStream(input: SolveInput, signal: AbortSignal, hear: (event: SolveEvent) => void): Promise<void> {
  const answer = await fetch("/api/plan/solve", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(input), signal });
  if (!answer.ok || answer.body === null) throw failed(((await answer.json()) as { error: { message: string } }).error.message);
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  let answered = false;
  for (let read = await reader.read(); !read.done; read = await reader.read()) {
    const lines = (rest + read.value).split("\n");
    rest = lines.pop()!;
    for (const line of lines) {
      const said = JSON.parse(line) as SolveLine;
      if (said.event === "failed") throw failed(said.message);
      answered = said.event !== "progress";
      hear(said);
    }
  }
  if (!answered) throw new TRPCClientError("");
}

/** As the other calls fail: with the server's sentence. */
const failed = (message: string) => TRPCClientError.from({ error: { message, code: -32603, data: null } });
