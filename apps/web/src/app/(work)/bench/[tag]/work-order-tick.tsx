"use client";
import { Tick } from "../../../../components/field.tsx";
import { Link } from "../../../../components/link.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { orderKindWords } from "../../../../work-order-words.ts";
import type { ForService } from "./kit-entry.ts";

export type OrderOfSet = ForService["orders"][number];

/** The order a piece of work belongs to: the one the address names, else the one the set lies on the bench for. */
export function orderOfWork(orders: readonly OrderOfSet[], named: string | null): OrderOfSet | null {
  return orders.find(({ id }) => id === named) ?? (named === null ? (orders.find(({ takenBy }) => takenBy !== null) ?? null) : null);
}

type WorkOrderTickProps = { order: OrderOfSet | null; named: string | null; belongs: boolean; onBelongs: (belongs: boolean) => void };

/** Which work order this work is recorded under. An order nobody has taken takes no work. */
export function WorkOrderTick({ order, named, belongs, onBelongs }: WorkOrderTickProps) {
  if (order === null) {
    return named === null ? null : (
      <Notice kind="warn" title="That work order is closed">
        <p>What is recorded here belongs to no order.</p>
      </Notice>
    );
  }
  const words = order.words === "" ? "" : `: “${order.words}”`;
  if (order.takenBy === null) {
    return (
      <Notice kind="warn" title={`Nobody has taken the work order (${orderKindWords(order.kind)})`}>
        <p>
          Work is recorded under an order once it is taken <Link href="/bench">on the bench</Link>. What is recorded now belongs to none.
        </p>
      </Notice>
    );
  }
  return <Tick label={`It belongs to the work order: ${orderKindWords(order.kind)}${words}, taken by ${order.takenBy}`} checked={belongs} onChange={(event) => onBelongs(event.target.checked)} />;
}
