"use client";
import { faultsAt, isFaultCode, type FaultCode } from "@hangrail/rules/faults";
import { kindIn, type Role } from "@hangrail/rules/models";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { faultWords } from "../../../bench-words.ts";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { SelectField, TextField } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { partName } from "../../../desk-words.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { OpenFault } from "./fault-lines.tsx";

type ConfirmFaultProps = {
  fault: OpenFault;
  parts: readonly { readonly id: string; readonly role: Role; readonly serial: string }[];
  onDone: (sentence: string) => void;
  onClose: () => void;
};

/** What the technician found, which may be another line of the list and another component than was reported. The fault stays open. */
export function ConfirmFault({ fault, parts, onDone, onClose }: ConfirmFaultProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [component, setComponent] = useState(parts.some(({ id }) => id === fault.component) ? fault.component : null);
  const [code, setCode] = useState<FaultCode | "">(isFaultCode(fault.code) ? fault.code : "");
  const [tried, setTried] = useState(false);
  const confirm = useMutation(
    trpc.faults.confirm.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone("What you found is recorded. The fault stays open until it is mended or not found.");
          onClose();
        }),
    }),
  );
  const part = parts.find(({ id }) => id === component);
  const lines = part === undefined ? faultsAt("set") : faultsAt(kindIn(part.role));
  const submit = (form: FormData) => {
    setTried(true);
    if (code !== "") confirm.mutate({ requestId, faultId: fault.id, code, component, words: textOf(form, "words") });
  };
  return (
    <ActForm act="Record what I found" state={confirm} onSubmit={submit}>
      <p>
        Reported as <span className="font-plate">{fault.code}</span> {faultWords(fault.code)}.
      </p>
      <SelectField
        label="Found on"
        value={component ?? ""}
        onChange={(event) => {
          setComponent(event.target.value || null);
          setCode("");
        }}
      >
        <option value="">The set as a whole</option>
        {parts.map((one) => (
          <option key={one.id} value={one.id}>
            {partName(one)}
          </option>
        ))}
      </SelectField>
      <SelectField label="What it is" value={code} error={tried && code === "" ? "choose the line that fits best." : null} onChange={(event) => setCode(isFaultCode(event.target.value) ? event.target.value : "")}>
        <option value="">Choose</option>
        {code !== "" && !lines.some((line) => line.code === code) ? <option value={code}>{faultWords(code)}</option> : null}
        {lines.map((line) => (
          <option key={line.code} value={line.code}>
            {line.code} {line.words}
          </option>
        ))}
      </SelectField>
      <TextField label="In your words" name="words" hint="What you saw, heard and measured." maxLength={1000} />
      <div>
        <Button onClick={onClose}>Not now</Button>
      </div>
    </ActForm>
  );
}
