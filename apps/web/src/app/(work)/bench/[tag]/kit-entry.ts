/** The kits of a piece of work as they are entered: what the lists ask for, from which lot, and what was used beside them. */
import { isStage, type Role } from "@hangrail/rules/models";
import type { Inputs, Outputs } from "../../../../trpc/types.ts";

export type ForService = Outputs["kits"]["forService"];
export type KitUse = NonNullable<Inputs["bench"]["recordWork"]["kits"]>[number];
type Shelf = ForService["shelf"];

/** A kit that the list of a component's model names for one service. */
export interface AskedKit {
  readonly key: string;
  readonly component: string;
  readonly kit: string;
  readonly quantity: number;
}

/** A kit used beside what the lists name, as typed. */
export interface FurtherKit {
  readonly key: string;
  readonly component: string;
  readonly kit: string;
  readonly quantity: string;
  readonly lot: string;
}

/** What the kit lists ask for the components serviced. */
export function askedKits(answer: ForService, serviced: readonly string[]): readonly AskedKit[] {
  return answer.components
    .filter(({ component }) => serviced.includes(component))
    .flatMap(({ component, lines }) => (lines ?? []).map(({ kit, quantity }) => ({ key: `${component} ${kit}`, component, kit, quantity })));
}

/** The stages among the components serviced whose kit list nobody has recorded: they cannot be serviced. */
export function withoutList(answer: ForService, parts: readonly { readonly id: string; readonly role: Role }[], serviced: readonly string[]): readonly string[] {
  const stages = new Set(parts.filter(({ role }) => isStage(role)).map(({ id }) => id));
  return answer.components.filter(({ component, lines }) => serviced.includes(component) && stages.has(component) && lines === null).map(({ component }) => component);
}

/** For each line the oldest lot on the shelf that is enough by itself, after the lines before it; nothing where no lot is. */
function suggestedLots(asked: readonly AskedKit[], shelf: Shelf): ReadonlyMap<string, string> {
  const left = new Map(shelf.flatMap(({ id, lots }) => lots.map(({ lot, quantity }) => [`${id} ${lot}`, quantity])));
  const found = new Map<string, string>();
  for (const { key, kit, quantity } of asked) {
    const lots = shelf.find(({ id }) => id === kit)?.lots ?? [];
    const lot = lots.find((one) => (left.get(`${kit} ${one.lot}`) ?? 0) >= quantity)?.lot;
    if (lot === undefined) continue;
    found.set(key, lot);
    left.set(`${kit} ${lot}`, (left.get(`${kit} ${lot}`) ?? 0) - quantity);
  }
  return found;
}

/** The lot of each line: what was typed there, else what was typed last for the same kit, else the oldest on the shelf. */
export function lotsOf(asked: readonly AskedKit[], typed: ReadonlyMap<string, string>, shelf: Shelf): ReadonlyMap<string, string> {
  const suggested = suggestedLots(asked, shelf);
  const alike = (kit: string) => [...typed].filter(([key]) => key.endsWith(` ${kit}`)).at(-1)?.[1];
  return new Map(asked.map(({ key, kit }) => [key, typed.get(key) ?? alike(kit) ?? suggested.get(key) ?? ""]));
}

/** What goes to the record, or the sentence that says what is missing. */
export function readKits(asked: readonly AskedKit[], typed: ReadonlyMap<string, string>, further: readonly FurtherKit[], shelf: Shelf): { kits: readonly KitUse[] } | { problem: string } {
  const kits: KitUse[] = [];
  const lots = lotsOf(asked, typed, shelf);
  for (const line of asked) {
    const lot = (lots.get(line.key) ?? "").trim();
    if (lot === "") return { problem: `Enter the lot of ${nameOf(shelf, line.kit)}: it stands on the kit's bag.` };
    kits.push({ component: line.component, kit: line.kit, lot, quantity: line.quantity });
  }
  for (const { component, kit, quantity, lot } of further) {
    const count = /^\d{1,3}$/.test(quantity.trim()) ? Number(quantity) : 0;
    if (component === "" || kit === "") return { problem: "Say which further kit was used, and on which component." };
    if (count < 1 || count > 100) return { problem: `How many of ${nameOf(shelf, kit)}? A whole number from 1 to 100.` };
    if (lot.trim() === "") return { problem: `Enter the lot of ${nameOf(shelf, kit)}: it stands on the kit's bag.` };
    kits.push({ component, kit, lot: lot.trim(), quantity: count });
  }
  return { kits };
}

export interface ShortKit {
  readonly name: string;
  readonly wanted: number;
  readonly stock: number;
}

/** Kits of which less lies on the shelf than is to be used. */
export function shortKits(kits: readonly Pick<KitUse, "kit" | "quantity">[], shelf: Shelf): readonly ShortKit[] {
  return [...new Set(kits.map(({ kit }) => kit))].flatMap((kit) => {
    const wanted = kits.filter((one) => one.kit === kit).reduce((sum, { quantity }) => sum + quantity, 0);
    const stock = shelf.find(({ id }) => id === kit)?.stock ?? 0;
    return stock < wanted ? [{ name: nameOf(shelf, kit), wanted, stock }] : [];
  });
}

export function nameOf(shelf: Shelf, kit: string): string {
  return shelf.find(({ id }) => id === kit)?.name ?? "the kit";
}
