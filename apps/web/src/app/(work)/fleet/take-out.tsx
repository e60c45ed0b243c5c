"use client";
import { useMutation } from "@tanstack/react-query";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Notice } from "../../../components/notice.tsx";
import { countText } from "../../../format.ts";
import { useTRPCClient } from "../../../trpc/client.ts";
import { download } from "./files.ts";

/** The site's fleet as a file, in the form it can be brought in again. */
export function TakeOut() {
  const client = useTRPCClient();
  // Asked for at the press and not kept: a file of yesterday's fleet must not be handed out today.
  const out = useMutation({ mutationFn: () => client.fleet.export.query(), onSuccess: ({ fileName, file }) => download(fileName, file) });
  return (
    <section aria-labelledby="take-out" className="sheet grid gap-4">
      <h2 id="take-out">Take out</h2>
      <p>Every set in the fleet and every spare, one row for each part, with its counts and its last work. The same file can be brought in again.</p>
      <div>
        <Button pending={out.isPending} pendingWords="Being written…" onClick={() => out.mutate()}>
          Download the fleet as CSV
        </Button>
      </div>
      <WhyNot state={out} />
      {out.data === undefined ? null : (
        <Notice kind="ok" announce>
          <p>
            “{out.data.fileName}” with {countText(out.data.rows, "row")}.
          </p>
        </Notice>
      )}
    </section>
  );
}
