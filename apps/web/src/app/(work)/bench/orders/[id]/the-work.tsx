"use client";
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { Button } from "../../../../../components/button.tsx";
import { Instant } from "../../../../../components/when.tsx";
import { useWho } from "../../../../../components/who.tsx";
import { partNamer } from "../../../../../desk-words.ts";
import { listText } from "../../../../../format.ts";
import { useTRPC } from "../../../../../trpc/client.ts";
import { workWords } from "../../../../../bench-words.ts";
import { BeddingForm } from "../../bedding-checks.tsx";
import { ClearFault } from "../../[tag]/clear-fault.tsx";
import { RecordWork } from "../../[tag]/record-work.tsx";
import { ConfirmFault } from "../../confirm-fault.tsx";
import type { OrderPage } from "./work-order.tsx";

type WorkProps = { page: OrderPage; mayWork: boolean; onDone: (sentence: string) => void };

/** What was done under this order, and the forms to record it. */
export function TheWork({ page, mayWork, onDone }: WorkProps) {
  const { work, order } = page;
  const { site } = useWho();
  return (
    <section className="grid gap-4" aria-labelledby="work-done">
      <h2 id="work-done">The work</h2>
      {work.length > 0 ? null : order.kind !== "repair" ? <p>{emptyWords(order.kind)}</p> : page.fault?.cleared == null ? <p>First record what you found, then what became of it.</p> : <p>What became of the fault stands above, with its own words.</p>}
      <ul className="grid gap-3 empty:hidden">
        {work.map((one) => (
          <li key={one.at} className="sheet grid gap-1">
            <p>
              <strong>{workWords(one.kind)}</strong>
              {one.oxygenClean ? ", oxygen-clean" : ""} of {listText(one.components)}
            </p>
            <p>“{one.words}”</p>
            {one.kits.length === 0 ? null : <p>Used: {listText(one.kits.map((kit) => `${kit.quantity} × ${kit.kit}, lot ${kit.lot}, in ${kit.component}`))}.</p>}
            <p className="text-soft">
              <Instant at={one.at} timeZone={site.timeZone} /> by {one.by ?? "nobody recorded"}
            </p>
          </li>
        ))}
      </ul>
      {!mayWork ? null : order.kind === "repair" ? <Repair page={page} onDone={onDone} /> : order.kind === "bedding-check" ? <Bedding page={page} onDone={onDone} /> : null}
      {mayWork && order.kind !== "bedding-check" ? <Recording page={page} onDone={onDone} /> : null}
    </section>
  );
}

/** What to do while nothing is recorded under an order. */
function emptyWords(kind: OrderPage["order"]["kind"]): string {
  switch (kind) {
    case "new-component":
      return "Nothing is recorded under this order yet. A new component is inspected and tested as left.";
    case "notice":
      return "Nothing is recorded under this order yet. The notice is cleared for each component by what was done.";
    default:
      return "Nothing is recorded under this order yet.";
  }
}

type Acting = Omit<WorkProps, "mayWork">;

/** First what it is, then what became of it. */
function Repair({ page: { fault, set }, onDone }: Acting) {
  const [open, setOpen] = useState<"confirm" | "clear" | null>(null);
  if (fault === null || fault.cleared !== null) return null;
  if (open === "confirm") return <ConfirmFault fault={fault} parts={set.parts} onDone={onDone} onClose={() => setOpen(null)} />;
  if (open === "clear") return <ClearFault fault={fault} mayOpen onDone={onDone} onClose={() => setOpen(null)} />;
  return (
    <div className="flex flex-wrap gap-4">
      {fault.found === null ? <Button onClick={() => setOpen("confirm")}>Record what you found…</Button> : null}
      <Button tone={fault.found === null ? "plain" : "primary"} onClick={() => setOpen("clear")}>
        Mended, or not found…
      </Button>
    </div>
  );
}

function Bedding({ page: { order, set, beddingDue }, onDone }: Acting) {
  const nameOf = partNamer(set.parts);
  if (beddingDue.length === 0) return <p>No bedding check is due on it any more.</p>;
  return (
    <div className="sheet grid gap-4">
      <p>To be checked: {listText(beddingDue.map(nameOf))}.</p>
      <BeddingForm setId={set.setId} tag={set.tag} components={beddingDue} order={order.id} onDone={onDone} />
    </div>
  );
}

/** Service or inspection of the components ticked, under this order. */
function Recording({ page: { order, set, makers }, onDone }: Acting) {
  const trpc = useTRPC();
  const whole = useQuery(trpc.sets.one.queryOptions({ tag: set.tag }));
  const isMain = order.kind === "service" || order.kind === "inspection";
  if (whole.data === undefined) return <p role="status">The components are being read…</p>;
  const form = <RecordWork set={whole.data} makers={makers} onDone={onDone} />;
  if (isMain) return form;
  return (
    <details>
      <summary className="min-h-12 py-3 font-semibold">Record a service or an inspection under this order</summary>
      {form}
    </details>
  );
}
