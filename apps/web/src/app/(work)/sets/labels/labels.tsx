"use client";
import { useQuery } from "@tanstack/react-query";
import { useRef, useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { Field, SelectField } from "../../../../components/field.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PrintButton } from "../../../../components/print-button.tsx";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { LABEL_SHEETS, placeLabels } from "./label-sheets.ts";
import { chosenTags } from "./chosen-tags.ts";
import { SheetPicture } from "./sheet-picture.tsx";

/** Labels for the tags of the site's sets: which, on what paper, from which place on; then print, or save the sheets as drawings. */
export function Labels() {
  const trpc = useTRPC();
  const tags = useQuery(trpc.sets.tags.queryOptions());
  const [sheetId, setSheetId] = useState(LABEL_SHEETS[0]!.id);
  const [wanted, setWanted] = useState("");
  const [from, setFrom] = useState("1");
  const sheets = useRef<HTMLDivElement>(null);
  if (tags.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read">
        <p>{errorWords(tags.error)}</p>
      </Notice>
    );
  }
  if (tags.data === undefined) return <p role="status">Being read…</p>;
  if (tags.data.length === 0) return <p>This site has no sets yet. Register one, or bring in a fleet; then its labels are printed here.</p>;

  const sheet = LABEL_SHEETS.find(({ id }) => id === sheetId)!;
  const places = sheet.columns * sheet.rows;
  const first = /^\d{1,3}$/u.test(from) && Number(from) >= 1 && Number(from) <= places ? Number(from) : null;
  const { chosen, unknown } = chosenTags(wanted, tags.data);
  const pages = first === null ? [] : placeLabels(sheet, chosen, first);
  const save = () => {
    for (const [at, svg] of [...(sheets.current?.querySelectorAll("svg") ?? [])].entries()) {
      const link = document.createElement("a");
      link.href = URL.createObjectURL(new Blob([new XMLSerializer().serializeToString(svg)], { type: "image/svg+xml" }));
      link.download = `labels-${sheet.id}-${at + 1}.svg`;
      link.click();
      URL.revokeObjectURL(link.href);
    }
  };
  return (
    <>
      <div className="screen-only grid max-w-2xl gap-4">
        <SelectField label="Paper" value={sheetId} onChange={(event) => setSheetId(event.target.value)}>
          {LABEL_SHEETS.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </SelectField>
        <Field label="Which sets" hint="Tags parted by blanks or commas, or two tags with “to” between them. Left empty: every set." value={wanted} maxLength={2000} autoComplete="off" spellCheck={false} onChange={(event) => setWanted(event.target.value)} />
        {places === 1 ? null : (
          <Field label="First free label on the first sheet" hint={`From 1 to ${places}, row by row: a sheet begun before is used up.`} value={from} inputMode="numeric" maxLength={3} error={first === null ? `Enter a number from 1 to ${places}.` : undefined} onChange={(event) => setFrom(event.target.value)} />
        )}
        <p role="status" className="font-semibold">
          {unknown.length > 0 ? `Not a set of this site: ${unknown.join(", ")}. ` : ""}
          {countText(chosen.length, "label")} on {countText(pages.length, "sheet")}.
        </p>
        <div className="flex flex-wrap gap-4">
          <PrintButton>Print these labels</PrintButton>
          <Button onClick={save} refusedBecause={pages.length === 0 ? "There is no label to save." : null}>
            <Icon name="down" /> Save as drawings
          </Button>
        </div>
        <p className="max-w-prose text-soft">
          Print at 100 %, without margins or “fit to page”. Laser on waterproof film holds in fresh and salt water; ink runs. Stick it where no hose rubs, and read it with the scanner before the set goes back on the rail.
        </p>
      </div>
      <div ref={sheets} className="label-sheets mt-6 grid gap-6">
        {pages.map((labels, at) => (
          <SheetPicture key={at} sheet={sheet} labels={labels} title={`Sheet ${at + 1} of ${pages.length}: ${labels.map(({ tag }) => tag).join(", ")}`} />
        ))}
      </div>
    </>
  );
}
