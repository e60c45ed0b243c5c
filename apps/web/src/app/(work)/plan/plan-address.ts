/**
 * What a manager chose for a plan, as it stands in the address: a link to it asks the same, and it
 * survives a reload. Weeks are written by their Monday, so that a link of last week still means the same week.
 * People and kits are written by their ids, never by a name.
 */
import type { Inputs } from "../../../trpc/types.ts";
import type { Outlook } from "./plan-types.ts";

type Solve = Inputs["plan"]["solve"];
export type Lock = Solve["locks"][number];
export type WhatIf = Solve["whatIf"];
export type DueBy = "low" | "middle";

/** Which weeks and how careful: what the server is asked before there are sets to choose for. */
export interface Span {
  readonly weeks: number;
  readonly dueBy: DueBy;
}

export interface Choices extends Span {
  readonly locks: readonly Lock[];
  readonly whatIf: WhatIf;
}

export const AS_IT_IS: WhatIf = { away: [], lateKits: [], demand: [] };
export const SPANS = [13, 26, 39, 52] as const;
const USUAL_WEEKS = 26;

/** Longer than this an address does not travel well; what does not fit is kept by the tab. */
export const MOST_ADDRESS = 1_500;
/** Stands in the address for what the tab keeps. */
export const KEPT = "kept";

const ID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

export function readSpan(params: URLSearchParams): Span {
  const weeks = Number(params.get("weeks"));
  return { weeks: SPANS.find((one) => one === weeks) ?? USUAL_WEEKS, dueBy: params.get("by") === "middle" ? "middle" : "low" };
}

export const isAsItIs = ({ away, lateKits, demand }: WhatIf): boolean => away.length + lateKits.length + demand.length === 0;

/** The choices in an address, for the sets, people and kits there are; whatever names nothing, or a week gone by, is left out. */
export function readChoices(params: URLSearchParams, outlook: Pick<Outlook, "weeks" | "sets" | "technicians" | "kits">, kept: string | null): Choices {
  const fix = params.get("fix");
  const bySet = new Map(outlook.sets.map(({ id, tag }) => [tag, id]));
  const weekAt = (text: string | undefined): number | null => {
    const at = outlook.weeks.findIndex((monday) => compact(monday) === text);
    return at === -1 ? null : at;
  };
  const locks = itemsOf(fix === KEPT ? kept : fix).flatMap(([tag = "", on]): Lock[] => {
    const setId = bySet.get(tag);
    const week = on === "no" ? null : weekAt(on);
    return setId === undefined || (week === null && on !== "no") ? [] : [{ setId, week }];
  });
  const spans = (text: string | null) =>
    itemsOf(text).flatMap(([what = "", from, until]) => {
      const [fromWeek, untilWeek] = [weekAt(from), weekAt(until)];
      return fromWeek === null || untilWeek === null || untilWeek < fromWeek ? [] : [{ what, fromWeek, untilWeek }];
    });
  return {
    ...readSpan(params),
    locks: [...new Map(locks.map((lock) => [lock.setId, lock])).values()],
    whatIf: {
      away: spans(params.get("away")).flatMap(({ what, ...span }) => (outlook.technicians.some(({ id }) => id === what) ? [{ staffId: what, ...span }] : [])),
      lateKits: itemsOf(params.get("late")).flatMap(([kitId = "", weeks]) => (ID.test(kitId) && outlook.kits.some(({ id }) => id === kitId) && isWithin(weeks, 1, 52) ? [{ kitId, weeks: Number(weeks) }] : [])),
      demand: spans(params.get("demand")).flatMap(({ what, ...span }) => (isWithin(what, 0, 1_000) ? [{ ...span, percent: Number(what) }] : [])),
    },
  };
}

/** The address of some choices, and what the tab has to keep because it does not fit. */
export function addressOf(choices: Choices, outlook: Pick<Outlook, "weeks" | "sets">): { readonly address: string; readonly kept: string | null } {
  const tags = new Map(outlook.sets.map(({ id, tag }) => [id, tag]));
  const on = (week: number) => compact(outlook.weeks[week] ?? "");
  const { locks, whatIf, weeks, dueBy } = choices;
  const fix = locks.map(({ setId, week }) => `${tags.get(setId) ?? ""}.${week === null ? "no" : on(week)}`).join("~");
  const params = new URLSearchParams();
  const put = (key: string, value: string) => value !== "" && params.set(key, value);
  put("weeks", weeks === USUAL_WEEKS ? "" : String(weeks));
  put("by", dueBy === "low" ? "" : dueBy);
  put("away", whatIf.away.map(({ staffId, fromWeek, untilWeek }) => `${staffId}.${on(fromWeek)}.${on(untilWeek)}`).join("~"));
  put("late", whatIf.lateKits.map(({ kitId, weeks: late }) => `${kitId}.${late}`).join("~"));
  put("demand", whatIf.demand.map(({ fromWeek, untilWeek, percent }) => `${percent}.${on(fromWeek)}.${on(untilWeek)}`).join("~"));
  const isLong = fix.length > MOST_ADDRESS;
  put("fix", isLong ? KEPT : fix);
  const query = params.toString();
  return { address: query === "" ? "/plan" : `/plan?${query}`, kept: isLong ? fix : null };
}

const compact = (monday: string): string => monday.replaceAll("-", "");
const itemsOf = (text: string | null): readonly (readonly string[])[] => (text === null || text === "" ? [] : text.split("~").map((item) => item.split(".")));
const isWithin = (text: string | undefined, least: number, most: number): boolean => text !== undefined && /^\d{1,4}$/.test(text) && Number(text) >= least && Number(text) <= most;
