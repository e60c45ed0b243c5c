"use client";
import { useQuery } from "@tanstack/react-query";
import { useRef, useState, type DragEvent } from "react";
import { Button } from "../../../components/button.tsx";
import { Choices, SelectField } from "../../../components/field.tsx";
import { Notice } from "../../../components/notice.tsx";
import { SheetChooser } from "../../../components/sheet-chooser.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import type { Kind, SheetInput } from "./answers.ts";
import { base64Of, downloadHeader, mostBytes } from "./files.ts";

type ChooseSheetProps = {
  pending: boolean;
  /** The last file was not understood: how its columns are divided may be said by hand. */
  delimiterOpen: boolean;
  onSheet: (sheet: SheetInput) => void;
};

type Chosen = { fileName: string; file: string };

const delimiters = [
  { value: "found", label: "find out" },
  { value: ",", label: "comma" },
  { value: ";", label: "semicolon" },
  { value: "\t", label: "tab" },
] as const;

/** What the sheet holds, and which file it is. */
export function ChooseSheet({ pending, delimiterOpen, onSheet }: ChooseSheetProps) {
  const input = useRef<HTMLInputElement>(null);
  const [kind, setKind] = useState<Kind>("fleet");
  const [delimiter, setDelimiter] = useState<(typeof delimiters)[number]["value"]>("found");
  const [chosen, setChosen] = useState<Chosen | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const [over, setOver] = useState(false);

  const send = (next: Chosen, mark = delimiter) => onSheet({ kind, ...next, ...(mark === "found" ? {} : { delimiter: mark }), answers: {} });
  const take = async (file: File | undefined) => {
    if (file === undefined) return;
    setWrong(null);
    if (file.size > mostBytes) {
      setWrong(`“${file.name}” is larger than 5 MB. Save the one sheet as CSV, or divide it.`);
      return;
    }
    try {
      const next = { fileName: file.name.slice(0, 200), file: await base64Of(file) };
      setChosen(next);
      send(next);
    } catch {
      setWrong(`This browser could not read “${file.name}”. Choose it again.`);
    }
  };
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    void take(event.dataTransfer.files[0]);
  };
  return (
    <>
      <Choices
        label="What the sheet holds"
        name="kind"
        choices={[
          { value: "fleet", label: "Sets and their parts: one row for each part" },
          { value: "history", label: "Past services and inspections: one row for each" },
        ]}
        value={kind}
        onChoose={setKind}
      />
      <Template kind={kind} />
      <div
        className={`grid gap-3 rounded-xl border-2 border-dashed p-5 ${over ? "border-sea bg-info" : "border-edge"}`}
        onDragOver={(event) => {
          event.preventDefault();
          setOver(true);
        }}
        onDragLeave={() => setOver(false)}
        onDrop={drop}
      >
        <div className="flex flex-wrap items-center gap-4">
          <Button tone="primary" pending={pending} pendingWords="Being checked…" onClick={() => input.current?.click()}>
            Choose a CSV file
          </Button>
          <span className="text-soft">or drop it here. {chosen === null ? "" : `Chosen: “${chosen.fileName}”.`}</span>
        </div>
        <p className="text-soft">As your spreadsheet has it, saved as CSV. It is only checked now; nothing is recorded before you say so.</p>
        <SheetChooser field={input} label="CSV file" onFile={(file) => void take(file)} />
        {delimiterOpen && chosen !== null ? (
          <div className="max-w-sm">
            <SelectField
              label="Its columns are divided by"
              value={delimiter}
              onChange={(event) => {
                const next = delimiters.find((one) => one.value === event.target.value)?.value ?? "found";
                setDelimiter(next);
                send(chosen, next);
              }}
            >
              {delimiters.map((one) => (
                <option key={one.value} value={one.value}>
                  {one.label}
                </option>
              ))}
            </SelectField>
          </div>
        ) : null}
      </div>
      {wrong === null ? null : (
        <Notice kind="stop" title="The file was not taken" announce>
          <p>{wrong}</p>
        </Notice>
      )}
    </>
  );
}

function Template({ kind }: { kind: Kind }) {
  const trpc = useTRPC();
  const columns = useQuery(trpc.fleet.columns.queryOptions());
  if (columns.data === undefined) return null;
  const ours = columns.data[kind];
  const needed = ours.filter((column) => column.required).map((column) => column.title);
  return (
    <details>
      <summary className="min-h-12 content-center font-semibold">Which columns it may have</summary>
      <div className="grid gap-3 pt-2">
        <p>
          Needed: {needed.join(", ")}. May be there: {ours.filter((column) => !column.required).map((column) => column.title).join(", ")}. Your own names for them are understood in several languages; what is not understood is asked.
        </p>
        <div>
          <Button onClick={() => downloadHeader(kind === "fleet" ? "sets-and-parts.csv" : "past-work.csv", ours.map((column) => column.title))}>Download an empty sheet</Button>
        </div>
      </div>
    </details>
  );
}
