"use client";
import { useQuery } from "@tanstack/react-query";
import { Icon, type IconName } from "../../../components/icon.tsx";
import { Link } from "../../../components/link.tsx";
import { Notice } from "../../../components/notice.tsx";
import { Day } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { listText, numberText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { moneyText } from "../../../money.ts";
import { AddKit } from "./add-kit.tsx";
import { needText, standOf, type Kit, type KitList, type KitStand } from "./kit-words.ts";

const stands: Readonly<Record<KitStand, { icon: IconName; word: string }>> = {
  enough: { icon: "tick", word: "Enough" },
  ordered: { icon: "clock", word: "On its way" },
  short: { icon: "octagon", word: "Short" },
};
const order: readonly KitStand[] = ["short", "ordered", "enough"];

/** Every kit, those that are short first. */
export function Kits() {
  const trpc = useTRPC();
  const list = useQuery(trpc.kits.list.queryOptions());
  if (list.error !== null) {
    return (
      <Notice kind="stop" title="The shelf could not be read" announce>
        <p>{errorWords(list.error)}</p>
      </Notice>
    );
  }
  if (list.data === undefined) return <p role="status">The shelf is being read…</p>;
  const sorted = list.data.kits.toSorted((a, b) => order.indexOf(standOf(a)) - order.indexOf(standOf(b)));
  const short = sorted.filter((kit) => standOf(kit) === "short");
  return (
    <div className="grid gap-8">
      {short.length === 0 ? null : (
        <Notice kind="warn" title="Order these">
          <p>
            Not enough for the services due within {list.data.weeks} weeks or {list.data.dives} dives: {listText(short.map((kit) => `${kit.maker} ${kit.name}`))}.
          </p>
        </Notice>
      )}
      <section aria-labelledby="shelf" className="grid gap-4">
        <h2 id="shelf">The shelf</h2>
        {sorted.length === 0 ? <p>No kit is entered yet. Enter the kits the makers sell, then name on each model&apos;s page which ones its service takes.</p> : null}
        <ul className="grid items-start gap-4 lg:grid-cols-2">
          {sorted.map((kit) => (
            <KitCard key={kit.id} kit={kit} list={list.data} />
          ))}
        </ul>
      </section>
      <AddKit currency={list.data.currency} />
    </div>
  );
}

function KitCard({ kit, list }: { kit: Kit; list: KitList }) {
  const { today } = useWho();
  const { icon, word } = stands[standOf(kit)];
  return (
    <li className="sheet grid gap-3">
      <div className="flex flex-wrap items-center justify-between gap-3">
        <h3>
          <Link href={`/kits/${kit.id}`} className="inline-flex min-h-12 items-center">
            {kit.maker} {kit.name}
          </Link>
        </h3>
        <span className="flex items-center gap-2 font-bold">
          <Icon name={icon} /> {word}
        </span>
      </div>
      <p className="text-xl">
        <strong>{numberText(kit.stock)}</strong> on the shelf
      </p>
      <p>{needText(kit, list.until)}</p>
      {kit.orders.map((one) => (
        <p key={one.id} className="flex flex-wrap gap-2">
          <Icon name="box" size={22} /> {numberText(one.quantity)} ordered, expected <Day day={one.expectedOn} today={today} />
          {one.expectedOn < today ? <strong>Late.</strong> : null}
        </p>
      ))}
      <p className="text-soft">{kit.models.length === 0 ? "No model's service takes it." : `Taken by a service of ${listText(kit.models.map((model) => (model.quantity === 1 ? model.name : `${model.name} (${model.quantity})`)))}.`}</p>
      <p className="text-soft">
        {kit.priceCents === null ? "Price not known" : moneyText(kit.priceCents, list.currency)}; {kit.leadDays === null ? "lead time not known" : `comes within ${kit.leadDays} days of an order`}.
      </p>
    </li>
  );
}
