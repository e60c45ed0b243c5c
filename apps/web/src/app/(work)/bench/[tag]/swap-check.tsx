"use client";
import type { Role } from "@hangrail/rules/models";
import { useQuery } from "@tanstack/react-query";
import { AssemblyReasons } from "../../../../components/assembly-reasons.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";

type SwapCheckProps = { setId: string; off: string; on: string; position: Role };

/** Before a swap is recorded: whether the set would go together after it. Nothing while nothing goes on. */
export function SwapCheck({ setId, off, on, position }: SwapCheckProps) {
  const trpc = useTRPC();
  const asked = on !== "";
  const check = useQuery(trpc.assembly.judge.queryOptions({ setId, swap: { off: off === "" ? null : off, on: asked ? on : null, position } }, { enabled: asked }));
  if (!asked) return null;
  if (check.error !== null) {
    return (
      <Notice kind="stop" title="The swap could not be checked" announce>
        <p>{errorWords(check.error)}</p>
      </Notice>
    );
  }
  if (check.data === undefined) return <p role="status">Being checked…</p>;
  const { verdict, refused } = check.data;
  if (verdict === "fits") {
    return (
      <Notice kind="ok" title="It fits" announce>
        <p>A port of the right thread for each part, and every pair approved.</p>
      </Notice>
    );
  }
  return (
    <Notice kind={refused ? "stop" : "warn"} title={refused ? "It would not go together: this swap is refused" : verdict === "not-judged" ? "Not judged whether it fits" : "Not whole after this swap"} announce>
      <AssemblyReasons assembly={check.data} />
    </Notice>
  );
}
