"use client";
import { useMutation } from "@tanstack/react-query";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Notice } from "../../../components/notice.tsx";
import { countText } from "../../../format.ts";
import { useTRPCClient } from "../../../trpc/client.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { breakWords, checkpointWords, factWords } from "./record-words.ts";

/** Walks the site's record from end to end when asked, and says what does not hold. */
export function VerifyRecord() {
  const client = useTRPCClient();
  // Asked for at the press and not kept: yesterday's answer says nothing of today.
  const verify = useMutation({ mutationFn: () => client.record.verify.query() });
  return (
    <section aria-labelledby="verify" className="sheet grid gap-4">
      <h2 id="verify">Does it hold?</h2>
      <p>Every entry of this site&apos;s sets is looked at again, every checkpoint, and every hire, fault, test, service and release against the entry it followed from. It takes some seconds; nobody has to wait meanwhile.</p>
      <div className="screen-only">
        <Button tone="primary" pending={verify.isPending} pendingWords="Being looked at…" onClick={() => verify.mutate()}>
          Look at the whole record
        </Button>
      </div>
      <WhyNot state={{ error: verify.error }} />
      {verify.data === undefined ? null : <Found report={verify.data} />}
    </section>
  );
}

function Found({ report }: { report: Outputs["record"]["verify"] }) {
  const { breaks, facts, checkpoints } = report;
  const looked = `${countText(report.entries, "entry", "entries")} in ${countText(report.chains, "chain")} and ${countText(checkpoints.count, "checkpoint")} looked at.`;
  if (report.sound) {
    return (
      <Notice kind="ok" title="The record holds" announce>
        <p>
          {looked} {checkpoints.newest === null ? "No checkpoint was made yet, so a tail that was cut off would not show." : `The newest checkpoint has the fingerprint ${checkpoints.newest.fingerprint}.`}
        </p>
      </Notice>
    );
  }
  return (
    <>
      <Notice kind="stop" title="The record does not hold" announce>
        <p>
          {looked} Somebody changed the database behind the acts. Print this page, keep the machine as it is, and compare with the last backup and with a checkpoint kept elsewhere.
        </p>
      </Notice>
      <Findings title="Where a chain breaks" lines={breaks.map(breakWords)} />
      <Findings title="Facts that are not what the record tells" lines={facts.map(factWords)} />
      <Findings title="Checkpoints" lines={checkpoints.problems.map(checkpointWords)} />
    </>
  );
}

function Findings({ title, lines }: { title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <div>
      <h3>{title}</h3>
      <ul className="mt-2 grid gap-2">
        {lines.map((line, at) => (
          <li key={at} className="border-s-4 border-danger ps-3">
            {line}
          </li>
        ))}
      </ul>
    </div>
  );
}
