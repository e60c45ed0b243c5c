"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PaperLine } from "../../../../components/paper-line.tsx";
import { Day } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { countText, cylinderText, dayText, listText, numberText, oxygenText, temperatureText, timeText, type Units } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { connectionWords, errorWords } from "../../../../words.ts";

type Sheet = Outputs["plan"]["morningSheet"];

/** What may go out today without asking, with lines to write on. */
export function MorningSheet() {
  const trpc = useTRPC();
  const { site } = useWho();
  const sheet = useQuery(trpc.plan.morningSheet.queryOptions());
  if (sheet.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read">
        <p>{errorWords(sheet.error)}</p>
      </Notice>
    );
  }
  if (sheet.data === undefined) return <p role="status">Being read…</p>;
  const { today, at, sets, bookings } = sheet.data;
  return (
    <div className="grid gap-6">
      <PaperLine />
      <p className="max-w-prose text-lg font-bold">
        Made at {timeText(at, site.timeZone)}; valid on {dayText(today)} alone.
      </p>
      <ul className="ms-6 grid max-w-prose list-disc gap-1">
        <li>Only while the server is down. As long as it answers, it alone says what may go out.</li>
        <li>Each set once: what came back is not clean. A set that went out, was found faulty or was breathed from since is struck off.</li>
        <li>Back by the day and within the dives that stand beside it. Every set still needs the pre-dive check.</li>
        <li>When the server is back, hand out and take back in it what stands here.</li>
      </ul>
      {bookings.length === 0 ? null : (
        <section aria-labelledby="booked">
          <h2 id="booked">Booked for today</h2>
          <ul className="mt-2 grid gap-1">
            {bookings.map((booking, index) => (
              <li key={index}>{bookingText(booking)}</li>
            ))}
          </ul>
        </section>
      )}
      <DataTable caption={`${countText(sets.length, "set")} ready`} columns={columnsFor(site.units)} rows={sets} rowKey={(set) => set.setId} empty="No set is ready at this hour. Without the server nothing goes out." wide />
    </div>
  );
}

const column = createColumnHelper<TableFeatures, Sheet["sets"][number]>();
/** Filled in by hand; a screen has nothing to write on. */
const toWrite = () => (
  <>
    <span className="paper-only block h-8 min-w-28" />
    <span className="screen-only text-soft">on paper</span>
  </>
);
const columnsFor = (units: Units) =>
  column.columns([
    column.accessor("tag", { header: "Set", cell: ({ row }) => <span className="font-plate text-lg whitespace-nowrap">{row.original.tag}</span> }),
    column.display({ id: "fits", header: "Fits", cell: ({ row: { original: { connection, maxBar } } }) => `${connection === null ? "not recorded" : connectionWords(connection)}${maxBar === null ? "" : `, to ${cylinderText(maxBar * 100, units)}`}` }),
    column.accessor("maxO2Tenths", { header: "Gas", cell: ({ row }) => `to ${oxygenText(row.original.maxO2Tenths)}` }),
    column.accessor("cold", { header: "Water", cell: ({ row }) => (row.original.cold ? "cold too" : `over ${temperatureText(100, units)}`) }),
    column.accessor("dueOn", { header: "Back by", cell: ({ row: { original } }) => (original.dueOn === null ? "no limit" : <Day day={original.dueOn} />) }),
    column.accessor("divesLeft", { header: "Dives", cell: ({ row: { original } }) => (original.divesLeft === null ? "no limit" : numberText(original.divesLeft)) }),
    column.display({ id: "given", header: "Given to, at", cell: toWrite }),
    column.display({ id: "back", header: "Back, dives", cell: toWrite }),
  ]);

function bookingText({ sets, connection, cold, o2Tenths, teaching, words }: Sheet["bookings"][number]): string {
  const wishes = [connection === null ? "any connection" : connectionWords(connection), ...(cold ? ["cold water"] : []), ...(o2Tenths > 210 ? [`to ${oxygenText(o2Tenths)}`] : []), ...(teaching ? ["teaching"] : [])];
  return `${countText(sets, "set")}: ${listText(wishes)}${words === "" ? "" : ` (${words})`}.`;
}
