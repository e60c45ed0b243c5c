"use client";
import { faultOf, faultsAt, opensEvidenceLock, type FaultCode } from "@hangrail/rules/faults";
import { kindIn } from "@hangrail/rules/models";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import type { FoundWhere } from "../../../../bench-words.ts";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { TextField } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { partName } from "../../../../desk-words.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { severityWords } from "../../../../words.ts";

type ChooseFaultProps = { set: Outputs["sets"]["one"]; where: FoundWhere; onDone: (sentence: string, faultId: string) => void };

/** The component or the whole set, then the line of the fault list, whose press records it. */
export function ChooseFault({ set, where, onDone }: ChooseFaultProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [at, setAt] = useState<{ component: string | null } | null>(null);
  const [words, setWords] = useState("");
  const [sealing, setSealing] = useState<FaultCode | null>(null);
  const lines = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (at !== null) lines.current?.focus();
  }, [at]);
  // The site may take a line more seriously than the list does.
  const severities = useQuery(trpc.faults.severities.queryOptions());
  const severityOf = (code: FaultCode) => severities.data?.find((line) => line.code === code)?.severity ?? faultOf(code).severity;
  const report = useMutation(
    trpc.bench.reportFault.mutationOptions({
      onSuccess: (answer, { code }) =>
        afterAct(answer, () => {
          if (answer.answer !== "done") return;
          renew();
          const { words: line } = faultOf(code);
          const severity = severityOf(code);
          onDone(`${set.tag}, ${code}: ${line}. The set is ${opensEvidenceLock(code) ? "sealed as evidence: leave it as it is and call the manager" : severityWords(severity)}.`, answer.fault);
        }),
    }),
  );
  const size = where === "wash-room" ? "wash" : "desk";
  const part = set.parts.find((one) => one.id === at?.component);

  if (at === null) {
    return (
      <section aria-labelledby="which-part" className="grid gap-4">
        <h2 id="which-part">What is it on?</h2>
        <div className="grid gap-4 sm:grid-cols-2 xl:grid-cols-3">
          {set.parts.map((one) => (
            <Button key={one.id} size={size} onClick={() => setAt({ component: one.id })}>
              <span>
                <span className="block first-letter:uppercase">{partName(one)}</span>
                <span className="block text-base font-normal">{one.model}</span>
              </span>
            </Button>
          ))}
          <Button size={size} onClick={() => setAt({ component: null })}>
            The set as a whole
          </Button>
        </div>
      </section>
    );
  }
  const send = (code: FaultCode) => report.mutate({ requestId, setId: set.setId, code, component: at.component, where, words: words.trim() });
  return (
    <section aria-labelledby="which-fault" className="grid gap-4">
      <div className="flex flex-wrap items-center justify-between gap-4">
        <h2 id="which-fault" ref={lines} tabIndex={-1}>
          What is wrong with {part === undefined ? "the set as a whole" : `the ${partName(part)}`}?
        </h2>
        <Button onClick={() => setAt(null)}>Another component</Button>
      </div>
      <TextField label="In the finder's words" hint="Write them before you press the line: the press records it." value={words} onChange={(event) => setWords(event.target.value)} maxLength={1000} rows={2} />
      {sealing === null ? <WhyNot state={report} /> : null}
      <ul className="grid gap-4 lg:grid-cols-2">
        {faultsAt(part === undefined ? "set" : kindIn(part.role)).map((line) => (
          <li key={line.code}>
            <Button size={size} tone={opensEvidenceLock(line.code) ? "danger" : "plain"} className="w-full justify-start! text-start!" pending={report.isPending} pendingWords="Being recorded…" onClick={() => (opensEvidenceLock(line.code) ? setSealing(line.code) : send(line.code))}>
              <span>
                {line.words} <span className="block text-base font-normal">{opensEvidenceLock(line.code) ? "seals the set as evidence" : severityWords(severityOf(line.code))}</span>
              </span>
            </Button>
          </li>
        ))}
      </ul>
      <Confirm open={sealing !== null} title={`Seal ${set.tag} as evidence?`} act="It was in an accident: seal it" tone="danger" pending={report.isPending} onConfirm={() => sealing !== null && send(sealing)} onCancel={() => setSealing(null)}>
        <p>Nobody may clean, open, test, service or hand it out any more. This cannot be taken back here. Leave the set exactly as it is and call the manager now.</p>
        <WhyNot state={report} />
      </Confirm>
    </section>
  );
}
