/** The marks of a line of time, and what a part's readings say. */
import type { Drift } from "@hangrail/rules/reading-drift";
import { countText, effortText, pressureText, type Units } from "../../../../../format.ts";
import type { Outputs } from "../../../../../trpc/types.ts";

export type Picture = Outputs["setLife"]["picture"];
export type Series = Picture["series"][number];
export type Mark = Picture["timeline"]["marks"][number]["mark"];

export const MARK_WORDS: Readonly<Record<Mark, string>> = {
  wash: "Washed clean",
  fault: "Fault reported",
  test: "Bench test",
  service: "Serviced",
  inspection: "Inspected",
  swap: "Part swapped",
  notice: "Notice",
  release: "Released",
};

export function readingName({ name, supplyCbar, part }: Series, units: Units): string {
  const what = name === "creep" ? "Creep" : name === "cracking-effort" ? "Cracking effort" : `Intermediate pressure at a supply of ${supplyCbar === null ? "unknown pressure" : pressureText(supplyCbar, units)}`;
  return `${what}, ${part}`;
}

export const valueText = (series: Pick<Series, "name">, value: number, units: Units): string => (series.name === "cracking-effort" ? effortText(value, units) : pressureText(value, units));

/** Whether it drifts, in a sentence; "nothing seen" is never "good". */
export function driftText(drift: Drift, series: Pick<Series, "name">, units: Units): string {
  switch (drift.answer) {
    case "too-few":
      return `Too few tests since the last service to see a drift: ${countText(drift.days, "day")} of ${drift.needs}.`;
    case "no-drift":
      return "No drift to be told from noise since the last service.";
    case "drifts": {
      const speed = `${drift.direction === "up" ? "Rises" : "Falls"} by about ${valueText(series, Math.abs(Math.round(drift.perYear)), units)} a year`;
      if (drift.limit === null) return `${speed}; there is no limit on that side.`;
      if (drift.months === null) return `${speed}; at that pace its limit is more than ten years off.`;
      return drift.months === 0 ? `${speed} and has reached its limit: ${valueText(series, drift.limit, units)}.` : `${speed}; at that pace it reaches its limit of ${valueText(series, drift.limit, units)} in about ${countText(drift.months, "month")}.`;
    }
  }
}
