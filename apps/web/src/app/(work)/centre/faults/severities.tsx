"use client";
import { FAULTS, faultOf, type FaultCode } from "@hangrail/rules/faults";
import type { Severity } from "@hangrail/rules/hand-out";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Choices } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { Instant } from "../../../../components/when.tsx";
import { useHasRole, useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords, kindWords, severityTitle, severityWords } from "../../../../words.ts";

type Line = Outputs["faults"]["severities"][number];
const places = [...new Set(FAULTS.map((fault) => fault.where))];

/** Every line of the fault list with its severity here, by the component it is found on. */
export function Severities() {
  const trpc = useTRPC();
  const lines = useQuery(trpc.faults.severities.queryOptions());
  if (lines.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p>{errorWords(lines.error)}</p>
      </Notice>
    );
  }
  if (lines.data === undefined) return <p role="status">Being read…</p>;
  return (
    <div className="grid gap-8">
      {places.map((where) => (
        <section key={where} aria-labelledby={`faults-${where}`} className="grid gap-4">
          <h2 id={`faults-${where}`} className="first-letter:uppercase">
            {where === "set" ? "the set as a whole" : kindWords(where)}
          </h2>
          <ul className="grid items-start gap-4 xl:grid-cols-2">
            {lines.data
              .filter((line) => faultOf(line.code).where === where)
              .map((line) => (
                <SeverityLine key={line.code} line={line} />
              ))}
          </ul>
        </section>
      ))}
    </div>
  );
}

function SeverityLine({ line }: { line: Line }) {
  const { site } = useWho();
  const manager = useHasRole("manager");
  const [open, setOpen] = useState(false);
  const { code, severity, listed, may, setBy, setAt } = line;
  return (
    <li className="sheet grid gap-3">
      <p className="font-semibold">
        <span className="font-plate">{code}</span> {faultOf(code).words}
      </p>
      <p>
        <strong>{severityTitle(severity)}:</strong> {severityWords(severity)}.
        {severity === listed ? null : ` The list says: ${severityTitle(listed).toLowerCase()}.`}
      </p>
      {setBy === null || setAt === null ? null : (
        <p className="text-soft">
          Set by {setBy}, <Instant at={setAt} timeZone={site.timeZone} />.
        </p>
      )}
      {may.length === 1 ? (
        <p className="text-soft">Never taken more lightly.</p>
      ) : !manager ? null : open ? (
        <Tune code={code} severity={severity} may={may} onClose={() => setOpen(false)} />
      ) : (
        <div>
          <Button onClick={() => setOpen(true)} aria-label={`Change ${code}`}>
            Change…
          </Button>
        </div>
      )}
    </li>
  );
}

type TuneProps = { code: FaultCode; severity: Severity; may: readonly Severity[]; onClose: () => void };

function Tune({ code, severity, may, onClose }: TuneProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [chosen, setChosen] = useState(severity);
  const tune = useMutation(trpc.faults.tune.mutationOptions({ onSuccess: (answer) => afterAct(answer, onClose) }));
  return (
    <div className="grid gap-4">
      <Choices
        label={`Severity of ${code} from now on`}
        hint="Faults reported before keep theirs."
        name={`severity-${code}`}
        choices={may.map((value) => ({ value, label: `${severityTitle(value)}: ${severityWords(value)}` }))}
        value={chosen}
        onChoose={setChosen}
      />
      <WhyNot state={tune} />
      <div className="flex flex-wrap gap-4">
        <Button tone="primary" pending={tune.isPending} pendingWords="Being recorded…" onClick={() => tune.mutate({ code, severity: chosen })}>
          Record it
        </Button>
        <Button onClick={onClose}>Leave it</Button>
      </div>
    </div>
  );
}
