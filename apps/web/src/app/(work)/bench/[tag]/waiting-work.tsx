"use client";
import { useQuery } from "@tanstack/react-query";
import { Notice } from "../../../../components/notice.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { QueueBody } from "../queue-line.tsx";

/** What of the queue is about this set: its open orders, and what asks for one. */
export function WaitingWork({ setId }: { setId: string }) {
  const trpc = useTRPC();
  const waiting = useQuery(trpc.workOrders.ofSet.queryOptions({ setId }));
  return (
    <section aria-labelledby="waiting" className="grid gap-4">
      <h2 id="waiting">Work orders</h2>
      {waiting.error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(waiting.error)}</p>
        </Notice>
      ) : waiting.data === undefined ? (
        <p role="status">The work orders are being read…</p>
      ) : waiting.data.length === 0 ? (
        <p>No work is asked for.</p>
      ) : (
        <ul className="grid items-start gap-4 xl:grid-cols-2">
          {waiting.data.map((item) => (
            <li key={item.id} className="sheet grid gap-3">
              <QueueBody item={item} />
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
