"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Notice } from "../../../components/notice.tsx";
import { PaperLine } from "../../../components/paper-line.tsx";
import { PrintButton } from "../../../components/print-button.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { useWho } from "../../../components/who.tsx";
import { countText, instantText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";

/** The signed roots, to be copied to where nobody of this machine can reach them. */
export function Checkpoints() {
  const trpc = useTRPC();
  const { site } = useWho();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const kept = useQuery(trpc.record.checkpoints.queryOptions());
  const make = useMutation(trpc.record.makeCheckpoint.mutationOptions({ onSuccess: (answer) => afterAct(answer, renew) }));
  return (
    <section aria-labelledby="checkpoints" className="sheet grid gap-4">
      <h2 id="checkpoints">Checkpoints</h2>
      <PaperLine />
      <p>A checkpoint signs the newest entry of every set. It shows a record that was cut off or written anew, if a copy lies elsewhere: print this page, mail a file, give one to the insurer. One is made every day.</p>
      {kept.error !== null ? <p>{errorWords(kept.error)}</p> : null}
      {kept.data?.key === null ? (
        <Notice kind="warn" title="No key">
          <p className="wrap-anywhere">This server has no key to sign with, so no checkpoints are made. Whoever looks after it sets HANGRAIL_CHECKPOINT_KEY.</p>
        </Notice>
      ) : null}
      <div className="screen-only flex flex-wrap gap-4">
        <Button pending={make.isPending} pendingWords="Being signed…" onClick={() => make.mutate({ requestId })}>
          Make one now
        </Button>
        <PrintButton />
      </div>
      <WhyNot state={make} />
      {kept.data?.newest.length === 0 ? <p>None was made yet.</p> : null}
      <ol className="grid gap-3">
        {kept.data?.newest.map((one) => (
          <li key={one.number} className="border-t border-hairline pt-3">
            <strong>
              {one.number}: {one.fingerprint}
            </strong>
            <span className="block text-soft">
              {instantText(one.at, site.timeZone)}, {countText(one.entries, "entry", "entries")} in {countText(one.chains, "chain")}
              {one.madeBy === null ? "" : `, asked for by ${one.madeBy}`}.
            </span>
            <a className="screen-only inline-flex min-h-12 items-center underline underline-offset-4" href={`data:application/json;charset=utf-8,${encodeURIComponent(one.file)}`} download={`checkpoint-${one.number}.json`}>
              Download checkpoint {one.number}
            </a>
          </li>
        ))}
      </ol>
    </section>
  );
}
