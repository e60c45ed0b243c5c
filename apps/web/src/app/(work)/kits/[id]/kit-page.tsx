"use client";
import { useQuery } from "@tanstack/react-query";
import { ButtonLink } from "../../../../components/button.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PageHead } from "../../../../components/page-head.tsx";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { AddKit } from "../add-kit.tsx";
import { needText } from "../kit-words.ts";
import { KitMovements } from "./kit-movements.tsx";
import { KitOrders } from "./kit-orders.tsx";
import { MoveKit } from "./move-kit.tsx";

/** One kit: what is there, what comes, and everything that came and went. */
export function KitPage({ id }: { id: string }) {
  const trpc = useTRPC();
  const list = useQuery(trpc.kits.list.queryOptions());
  if (list.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p>{errorWords(list.error)}</p>
      </Notice>
    );
  }
  if (list.data === undefined) return <p role="status">Being read…</p>;
  const kit = list.data.kits.find((one) => one.id === id);
  if (kit === undefined) {
    return (
      <div className="grid gap-6">
        <h1>There is no such kit</h1>
        <div>
          <ButtonLink href="/kits">To every kit</ButtonLink>
        </div>
      </div>
    );
  }
  return (
    <>
      <PageHead title={`${kit.maker} ${kit.name}`} lead={`${countText(kit.stock, "kit")} on the shelf. ${needText(kit, list.data.until)}`}>
        <ButtonLink href="/kits">Every kit</ButtonLink>
      </PageHead>
      <div className="grid gap-8">
        <KitOrders kit={kit} />
        <MoveKit kit={kit} />
        <KitMovements kitId={kit.id} />
        <AddKit currency={list.data.currency} kit={kit} />
      </div>
    </>
  );
}
