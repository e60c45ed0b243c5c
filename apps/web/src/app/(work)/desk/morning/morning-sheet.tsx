"use client";
import { useQuery } from "@tanstack/react-query";
import { Notice } from "../../../../components/notice.tsx";
import { PaperLine } from "../../../../components/paper-line.tsx";
import { Day } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { countText, cylinderText, dayText, listText, numberText, oxygenText, temperatureText, timeText } from "../../../../format.ts";
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
      {sets.length === 0 ? (
        <p>No set is ready at this hour. Without the server nothing goes out.</p>
      ) : (
        <div className="overflow-x-auto" tabIndex={0} role="region" aria-label="Sets ready at this hour">
          <table className="table">
            <caption className="pb-2 text-start text-lg font-bold">{countText(sets.length, "set")} ready</caption>
            <thead>
              <tr>
                <th scope="col">Set</th>
                <th scope="col">Fits</th>
                <th scope="col">Gas</th>
                <th scope="col">Water</th>
                <th scope="col">Back by</th>
                <th scope="col">Dives</th>
                <th scope="col" className="paper-only min-w-40">
                  Given to, at
                </th>
                <th scope="col" className="paper-only min-w-28">
                  Back, dives
                </th>
              </tr>
            </thead>
            <tbody>
              {sets.map((set) => (
                <tr key={set.setId}>
                  <th scope="row" className="font-plate text-lg">
                    {set.tag}
                  </th>
                  <td>
                    {set.connection === null ? "not recorded" : connectionWords(set.connection)}
                    {set.maxBar === null ? "" : `, to ${cylinderText(set.maxBar * 100, site.units)}`}
                  </td>
                  <td>to {oxygenText(set.maxO2Tenths)}</td>
                  <td>{set.cold ? "cold too" : `over ${temperatureText(100, site.units)}`}</td>
                  <td>{set.dueOn === null ? "no limit" : <Day day={set.dueOn} />}</td>
                  <td>{set.divesLeft === null ? "no limit" : numberText(set.divesLeft)}</td>
                  <td className="paper-only" />
                  <td className="paper-only" />
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </div>
  );
}

function bookingText({ sets, connection, cold, o2Tenths, teaching, words }: Sheet["bookings"][number]): string {
  const wishes = [connection === null ? "any connection" : connectionWords(connection), ...(cold ? ["cold water"] : []), ...(o2Tenths > 210 ? [`to ${oxygenText(o2Tenths)}`] : []), ...(teaching ? ["teaching"] : [])];
  return `${countText(sets, "set")}: ${listText(wishes)}${words === "" ? "" : ` (${words})`}.`;
}
