"use client";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { ButtonLink } from "../../../../../components/button.tsx";
import { Notice } from "../../../../../components/notice.tsx";
import { PageHead } from "../../../../../components/page-head.tsx";
import { Plate } from "../../../../../components/plate.tsx";
import { StateMark } from "../../../../../components/state-mark.tsx";
import { useHasRole } from "../../../../../components/who.tsx";
import { useTRPC } from "../../../../../trpc/client.ts";
import type { Outputs } from "../../../../../trpc/types.ts";
import { orderKindTitle } from "../../../../../work-order-words.ts";
import { errorWords } from "../../../../../words.ts";
import { ReleaseOne } from "../../[tag]/release-one.tsx";
import { AsFound, AsLeft } from "./bench-tests.tsx";
import { Closing } from "./closing.tsx";
import { Standing } from "./standing.tsx";
import { TheWork } from "./the-work.tsx";
import { WhyHere } from "./why-here.tsx";

export type OrderPage = Outputs["workOrders"]["one"];

/** One work order from why it is here to the release, in the order of the work. */
export function WorkOrder({ id }: { id: string }) {
  const trpc = useTRPC();
  const found = useQuery(trpc.workOrders.one.queryOptions({ orderId: id }));
  if (found.error !== null) {
    return (
      <>
        <PageHead title="Work order">
          <ButtonLink href="/bench">Bench</ButtonLink>
        </PageHead>
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(found.error)}</p>
        </Notice>
      </>
    );
  }
  if (found.data === undefined) return <p role="status">The work order is being read…</p>;
  return <Shown page={found.data} />;
}

function Shown({ page }: { page: OrderPage }) {
  const { order, set } = page;
  const technician = useHasRole("technician");
  const [done, setDone] = useState<string | null>(null);
  const doneBox = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (done !== null) doneBox.current?.focus();
  }, [done]);
  const isTaken = order.state === "taken";
  const isClosed = order.state === "done" || order.state === "dropped";
  return (
    <>
      <PageHead
        title={
          <span className="flex flex-wrap items-center gap-4">
            {orderKindTitle(order.kind)} <Plate tag={set.tag} /> <StateMark state={set.state} />
          </span>
        }
      >
        <ButtonLink href="/bench">Bench</ButtonLink>
        <ButtonLink href={`/bench/${set.tag}`}>The whole set</ButtonLink>
      </PageHead>
      <div className="grid gap-8">
        <div ref={doneBox} tabIndex={-1} className="empty:hidden">
          {done === null ? null : (
            <Notice kind="ok" announce>
              <p>{done}</p>
            </Notice>
          )}
        </div>
        <Standing page={page} onDone={setDone} />
        <WhyHere page={page} />
        {order.takenAt === null ? null : (
          <>
            <AsFound page={page} mayTest={technician && isTaken} />
            <TheWork page={page} mayWork={technician && isTaken} onDone={setDone} />
            <AsLeft page={page} mayTest={technician && isTaken} />
          </>
        )}
        {isClosed ? null : <Closing page={page} onDone={setDone} />}
        <ReleaseOne set={set} onDone={setDone} />
        {isClosed && page.others.length > 0 ? <OtherWork page={page} /> : null}
      </div>
    </>
  );
}

/** What else the set waits for, once this order is closed. */
function OtherWork({ page: { others, set } }: { page: OrderPage }) {
  return (
    <Notice kind="info" title="The set waits for more">
      <ul className="mb-3 list-disc ps-6">
        {others.map(({ kind }, at) => (
          <li key={`${kind} ${at}`}>{orderKindTitle(kind)}</li>
        ))}
      </ul>
      <ButtonLink href={`/bench/${set.tag}`}>{set.tag} at the bench</ButtonLink>
    </Notice>
  );
}
