/** Kits as text: what is there, what due services will take, what is on its way. */
import { addDays, day as toDay } from "@hangrail/rules/calendar";
import { countText, dayText, numberText } from "../../../format.ts";
import { readCents } from "../../../money.ts";
import type { Outputs } from "../../../trpc/types.ts";

export type KitList = Outputs["kits"]["list"];
export type Kit = KitList["kits"][number];
export type KitMovement = Outputs["kits"]["movements"]["movements"][number];

/** How a kit stands against what due services will take. */
export type KitStand = "enough" | "ordered" | "short";

export function standOf({ stock, need, ordered }: Pick<Kit, "stock" | "need" | "ordered">): KitStand {
  if (stock >= need) return "enough";
  return stock + ordered >= need ? "ordered" : "short";
}

/** What the services due in the next weeks take of a kit, and whether that is there. */
export function needText(kit: Pick<Kit, "stock" | "need" | "ordered">, until: string): string {
  if (kit.need === 0) return `No service due by ${dayText(until)} takes it.`;
  const needed = `Services due by ${dayText(until)} take ${numberText(kit.need)}`;
  switch (standOf(kit)) {
    case "enough":
      return `${needed}: enough.`;
    case "ordered":
      return `${needed}: ${countText(kit.need - kit.stock, "kit")} short until what is ordered comes.`;
    case "short":
      return `${needed}: ${countText(kit.need - kit.stock - kit.ordered, "kit")} short${kit.ordered === 0 ? "" : ", counting what is ordered"}.`;
  }
}

/** The day an order placed today comes, where its lead time is known. */
export function comesOn(today: string, leadDays: number | null): string {
  return leadDays === null ? "" : addDays(toDay(today), leadDays);
}

/** A price as typed in cents, null where none was; or the sentence that says what is wrong with it. */
export function readPrice(text: string): number | null | { problem: string } {
  const cents = readCents(text);
  return cents === undefined || (cents !== null && cents > MOST_CENTS) ? { problem: "a price such as 12.50 is needed, to 100 000.00 at most." } : cents;
}

const MOST_CENTS = 10_000_000;

/** A whole number as typed, null where none was; or what is wrong with it. */
export function readCount(text: string, least: number, most: number): number | null | { problem: string } {
  const typed = text.trim();
  if (typed === "") return null;
  const value = /^\d{1,6}$/.test(typed) ? Number(typed) : Number.NaN;
  return value >= least && value <= most ? value : { problem: `a whole number from ${numberText(least)} to ${numberText(most)} is needed.` };
}

/** What a movement did to the shelf: "5 came", "2 fewer than reckoned". */
export function movementText({ kind, quantity }: Pick<KitMovement, "kind" | "quantity">): string {
  switch (kind) {
    case "received":
      return `${numberText(quantity)} came`;
    case "used":
      return `${numberText(-quantity)} used`;
    case "counted":
      return quantity === 0 ? "Counted: as reckoned" : `Counted: ${numberText(Math.abs(quantity))} ${quantity < 0 ? "fewer" : "more"} than reckoned`;
  }
}
