"use client";
import { URGENCIES } from "@hangrail/rules/work-orders";
import { countText } from "../../../format.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { urgencyWords } from "../../../work-order-words.ts";
import { QueueLine } from "./queue-line.tsx";

export type QueueItem = Outputs["workOrders"]["queue"]["items"][number];

/** What waits for the bench: first what lies on it, then by urgency. Bedding checks that nobody opened an order for stand by themselves. */
export function Queue({ items }: { items: readonly QueueItem[] }) {
  const taken = items.filter(({ order }) => order?.state === "taken");
  const parked = items.filter(({ order }) => order?.state === "parked");
  const waiting = items.filter(({ kind, order }) => (order === null ? kind !== "bedding-check" : order.state === "waiting"));
  return (
    <>
      <Block id="on-the-bench" title={`On the bench: ${countText(taken.length, "order")}`} empty="Nothing lies on the bench." items={taken} />
      {parked.length === 0 ? null : <Block id="awaiting-parts" title={`Awaiting parts: ${countText(parked.length, "order")}`} items={parked} />}
      {waiting.length === 0 ? (
        <section aria-labelledby="queue" className="grid gap-4">
          <h2 id="queue">Queue</h2>
          <p>Nothing waits for the bench.</p>
        </section>
      ) : (
        URGENCIES.map((urgency) => {
          const some = waiting.filter((item) => item.urgency === urgency);
          const { title, why } = urgencyWords(urgency);
          return some.length === 0 ? null : <Block key={urgency} id={`queue-${urgency}`} title={`${title}: ${some.length}`} lead={why} items={some} />;
        })
      )}
    </>
  );
}

type BlockProps = { id: string; title: string; lead?: string; empty?: string; items: readonly QueueItem[] };

function Block({ id, title, lead, empty, items }: BlockProps) {
  return (
    <section aria-labelledby={id} className="grid gap-4">
      <div>
        <h2 id={id}>{title}</h2>
        {lead === undefined ? null : <p className="text-soft">{lead}</p>}
      </div>
      {items.length === 0 ? (
        <p>{empty}</p>
      ) : (
        <ul className="grid items-start gap-4 xl:grid-cols-2">
          {items.map((item) => (
            <QueueLine key={item.id} item={item} />
          ))}
        </ul>
      )}
    </section>
  );
}
