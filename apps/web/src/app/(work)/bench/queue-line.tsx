"use client";
import { Button, ButtonLink } from "../../../components/button.tsx";
import { WhyNot } from "../../../components/act-form.tsx";
import { useHasRole, useWho } from "../../../components/who.tsx";
import { partNamer } from "../../../desk-words.ts";
import { countText, daysLeftText, dayText, listText } from "../../../format.ts";
import { orderKindTitle } from "../../../work-order-words.ts";
import { FaultLines } from "./fault-lines.tsx";
import type { QueueItem } from "./queue.tsx";
import { SetLine } from "./set-line.tsx";
import { useToTheBench } from "./use-to-the-bench.ts";

/** One thing that waits for the bench: what it is, why, what hangs on it, and the way to the bench. */
export function QueueLine({ item }: { item: QueueItem }) {
  return (
    <SetLine set={item.set}>
      <QueueBody item={item} />
    </SetLine>
  );
}

/** The same without the set's tag and state, where the page has them already. */
export function QueueBody({ item }: { item: QueueItem }) {
  const nameOf = partNamer(item.set.parts);
  const { fault, order } = item;
  return (
    <>
      <div className="grid gap-2">
        <p className="text-lg font-bold">{orderKindTitle(item.kind)}</p>
        {fault !== null ? <FaultLines fault={fault} part={fault.component === null ? null : nameOf(fault.component)} nameOf={nameOf} /> : item.components.length === 0 ? null : <p>{capital(listText(item.components.map(nameOf)))}.</p>}
        <Facts item={item} />
      </div>
      <div className="flex flex-wrap items-start gap-4">
        {order === null ? null : (
          <ButtonLink href={`/bench/orders/${order.id}`} tone={order.state === "waiting" ? "plain" : "primary"}>
            {order.state === "waiting" ? "Look at the order" : "Go on with it"}
          </ButtonLink>
        )}
        {order === null || order.state === "waiting" ? <ToTheBench item={item} /> : null}
      </div>
    </>
  );
}

/** What else is known: the notice, the days, the bookings, who has it. */
function Facts({ item: { notice, order, dueOn, bookingsAtStake, neededOn, set } }: { item: QueueItem }) {
  const { today } = useWho();
  const lines = [
    notice === null ? null : `${notice.title} (${notice.reference}): ${notice.state === "check" ? "compare the serial by hand" : notice.remedy}.`,
    dueOn === null ? null : `${dueOn < today ? "Was due" : "Due"} ${dayText(dueOn)}, ${daysLeftText(today, dueOn)}.`,
    order === null || order.weekOn === null ? null : `Planned for the week of ${dayText(order.weekOn)}.`,
    order === null || order.words === "" ? null : `“${order.words}”`,
    order?.takenBy == null ? null : `Taken by ${order.takenBy}.`,
    order?.park == null ? null : `Waits for: ${order.park.why}${order.park.expectedOn === null ? "" : `, expected ${dayText(order.park.expectedOn)} (${daysLeftText(today, order.park.expectedOn)})`}.`,
    neededOn === null || bookingsAtStake === 0 ? null : `Could serve ${countText(bookingsAtStake, "booking")} in the next 30 days, the first ${neededOn === today ? "today" : `on ${dayText(neededOn)}`}.`,
    set.out === null ? null : `With a hirer, planned back ${dayText(set.out.backOn)}.`,
  ].filter((line) => line !== null);
  if (lines.length === 0) return null;
  return (
    <ul className="grid gap-1">
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  );
}

function ToTheBench({ item }: { item: QueueItem }) {
  const technician = useHasRole("technician");
  const { toTheBench, state } = useToTheBench(item);
  if (!technician || item.set.out !== null) return null;
  const lies = item.set.state === "on-the-bench" || item.set.state === "awaiting-parts";
  return (
    <div className="grid gap-3">
      <div>
        <Button tone="primary" pending={state.isPending} pendingWords="Being taken…" refusedBecause={lies ? "The set lies on the bench for another order. Finish or drop that one first." : null} onClick={toTheBench} aria-label={`${orderKindTitle(item.kind)} of ${item.set.tag}: to the bench`}>
          To the bench
        </Button>
      </div>
      {lies ? <p className="text-soft">It lies on the bench for another order.</p> : null}
      <WhyNot state={state} />
    </div>
  );
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
