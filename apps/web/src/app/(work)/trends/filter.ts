/** What the figures are about, as it stands in the address: a link shows the same, and Back goes back. */
import { isFaultCode, type FaultCode } from "@hangrail/rules/faults";
import { MODEL_KINDS, type ModelKind } from "@hangrail/rules/models";
import type { Inputs } from "../../../trpc/types.ts";

export type About = Inputs["trends"]["months"];
export type By = Inputs["trends"]["rates"]["by"];

const MONTH = /^\d{4}-(0[1-9]|1[0-2])$/;
const ID = /^[0-9a-f-]{36}$/;
export const GROUPS: readonly By[] = ["model", "maker", "kind", "site"];
export const WATERS = ["sea", "fresh", "pool"] as const;
/** Two seasons, so that one bad August stands beside another. */
const MONTHS_SHOWN = 24;

/** The month so many before that of a day: ("2026-11-25", 23) → "2024-12". */
export function monthBefore(day: string, months: number): string {
  const number = Number(day.slice(0, 4)) * 12 + Number(day.slice(5, 7)) - 1 - months;
  return `${String(Math.floor(number / 12)).padStart(4, "0")}-${String((number % 12) + 1).padStart(2, "0")}`;
}

/** The question in an address; what it does not say, or says wrongly, is the last two years at this site. */
export function readAbout(params: URLSearchParams, today: string): About {
  const one = (key: string, fits: (text: string) => boolean): string | null => {
    const text = params.get(key);
    return text !== null && fits(text) ? text : null;
  };
  const until = one("until", (text) => MONTH.test(text)) ?? monthBefore(today, 0);
  const from = one("from", (text) => MONTH.test(text) && text <= until) ?? monthBefore(`${until}-01`, MONTHS_SHOWN - 1);
  return {
    from,
    until,
    sites: one("sites", (text) => text === "here" || text === "mine" || ID.test(text)) ?? "here",
    count: params.get("count") === "reported" ? "reported" : "confirmed",
    kind: one("kind", (text) => MODEL_KINDS.some((kind) => kind === text)) as ModelKind | null,
    modelId: one("model", (text) => ID.test(text)),
    maker: one("maker", (text) => text.length > 0 && text.length <= 80),
    code: one("code", isFaultCode) as FaultCode | null,
    water: (WATERS.find((water) => water === params.get("water")) ?? null) satisfies About["water"],
  };
}

export function readBy(params: URLSearchParams): By {
  return GROUPS.find((by) => by === params.get("by")) ?? "model";
}

/** The address of a question, on any of the pages of trends. */
export function addressOf(path: string, about: About, by?: By): string {
  const { modelId, ...rest } = about;
  const params = new URLSearchParams();
  for (const [key, value] of Object.entries({ ...rest, model: modelId, by: by ?? null })) if (value !== null) params.set(key, value);
  return `${path}?${params.toString()}`;
}
