"use client";
import { Link } from "../../../../../components/link.tsx";
import { Day, Instant } from "../../../../../components/when.tsx";
import { useWho } from "../../../../../components/who.tsx";
import { partNamer } from "../../../../../desk-words.ts";
import { listText } from "../../../../../format.ts";
import { orderKindWords } from "../../../../../work-order-words.ts";
import { FaultLines } from "../../fault-lines.tsx";
import { AddPhoto } from "../../fault-photos.tsx";
import type { OrderPage } from "./work-order.tsx";

/** What the order was opened for: the fault with the hirer's words and pictures, the notice, or what is due. */
export function WhyHere({ page: { order, set, fault, notices, why, otherFaults } }: { page: OrderPage }) {
  const { site, today } = useWho();
  const nameOf = partNamer(set.parts);
  const gone = order.kind !== "repair" && order.kind !== "notice" && why.components.length === 0 && order.closed === null;
  return (
    <section className="grid gap-4" aria-labelledby="why">
      <h2 id="why">Why it is here</h2>
      {order.words === "" ? null : <p>“{order.words}”</p>}
      {fault === null ? null : (
        <div className="sheet grid gap-4">
          <FaultLines fault={fault} part={fault.component === null ? null : nameOf(fault.component)} nameOf={nameOf} cleared={fault.cleared !== null} />
          {fault.cleared === null ? (
            <details>
              <summary className="min-h-12 py-3 font-semibold">Add a photograph</summary>
              <AddPhoto faultId={fault.id} />
            </details>
          ) : (
            <p>
              <strong>{fault.cleared.outcome === "mended" ? "Mended" : "Looked for and not found"}</strong> by {fault.cleared.by}, <Instant at={fault.cleared.at} timeZone={site.timeZone} />: “{fault.cleared.words}”
            </p>
          )}
        </div>
      )}
      {notices.map((notice) => (
        <p key={notice.component} className="sheet">
          <Link href={`/notices/${notice.notice}`} className="inline-flex min-h-12 items-center font-bold">
            {notice.title} ({notice.reference})
          </Link>
          , {nameOf(notice.component)}: {notice.state === "check" ? "its serial is close to the range, or not known: compare it by hand." : `${notice.remedy}.`}
        </p>
      ))}
      {order.notice === null || notices.length > 0 ? null : (
        <p>
          <Link href={`/notices/${order.notice}`} className="inline-flex min-h-12 items-center">
            The notice it was opened for
          </Link>{" "}
          holds nothing of this set any more.
        </p>
      )}
      {why.components.length === 0 || fault !== null || notices.length > 0 ? null : (
        <p>
          It asks for {orderKindWords(order.kind)}: {listText(why.components.map(nameOf))}.
          {why.dueOn === null ? null : (
            <>
              {" "}
              {why.dueOn < today ? "Was due" : "Due"} <Day day={why.dueOn} today={today} />.
            </>
          )}
        </p>
      )}
      {gone ? <p>Nothing asks for {orderKindWords(order.kind)} by itself now: it was planned ahead, or it is recorded already.</p> : null}
      {otherFaults.length === 0 ? null : (
        <div className="grid gap-2">
          <p className="font-semibold">Other open faults of this set</p>
          {otherFaults.map((one) => (
            <FaultLines key={one.id} fault={one} part={one.component === null ? null : nameOf(one.component)} nameOf={nameOf} />
          ))}
        </div>
      )}
    </section>
  );
}
