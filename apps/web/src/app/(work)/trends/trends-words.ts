/** What figures say, what they do not, and what to do: one plain sentence each. */
import type { MonthlyChart } from "@hangrail/rules/fault-verdict";
import type { IconName } from "../../../components/icon.tsx";
import { countText, divesText, listText, monthText, numberText } from "../../../format.ts";
import type { Outputs } from "../../../trpc/types.ts";

export type Rates = Outputs["trends"]["rates"];
export type RateRow = Rates["rows"][number];
export type Months = MonthlyChart;
export type By = "model" | "maker" | "kind" | "site";

/** Faults per 100 dives with two digits: enough to compare, not more than is known. */
export const rateText = (rate: number): string => rate.toFixed(2);
export const intervalText = (lower: number, upper: number): string => `${rateText(lower)} to ${rateText(upper)}`;

const groupWords: Readonly<Record<By, { one: string; many: string }>> = {
  model: { one: "model", many: "models" },
  maker: { one: "maker", many: "makers" },
  kind: { one: "kind of part", many: "kinds of part" },
  site: { one: "site", many: "sites" },
};
export const groupName = (by: By) => groupWords[by].many;

/** A shape for a verdict, beside its word. */
export function verdictIcon({ verdict }: RateRow["verdict"]): IconName {
  switch (verdict) {
    case "worse":
      return "up";
    case "better":
      return "down";
    case "no-different":
      return "minus";
    case "too-little-to-tell":
      return "info";
  }
}

/** A verdict in a word, for a mark beside the name. */
export function verdictWord({ verdict }: RateRow["verdict"]): string {
  switch (verdict) {
    case "worse":
      return "more often";
    case "better":
      return "less often";
    case "no-different":
      return "no different";
    case "too-little-to-tell":
      return "too little to tell";
  }
}

/** The verdict as a sentence with what would settle it. */
export function verdictText(row: RateRow, by: By): string {
  const { one } = groupWords[by];
  const verdict = row.verdict;
  switch (verdict.verdict) {
    case "worse":
      return `Fails more often than the others, ${timesText(row)}.`;
    case "better":
      return `Fails less often than the others, ${timesText(row)}.`;
    case "no-different":
      return "No different from the others: twice their rate would have shown by now.";
    case "too-little-to-tell":
      switch (verdict.why) {
        case "no-dives":
          return "Too little to tell: no dives in this period.";
        case "nothing-to-compare-with":
          return `Nothing to compare it with: it is the only ${one} here.`;
        case "no-faults-in-fleet":
          return "Too little to tell: no fault at all was counted.";
        case "too-few-dives":
          if (verdict.more === null) return "Too little to tell, and more dives than anybody would wait for would not change that.";
          return `Too little to tell. About ${divesText(roundUp(verdict.more.dives))} more ${verdict.more.of === "model" ? `of this ${one}` : "of the whole fleet"} would tell twice the usual rate.`;
      }
  }
}

function timesText({ toOthers }: RateRow): string {
  if (toOthers?.ratio == null) return "who had none";
  const upper = toOthers.upper === null ? "or more" : `to ${toOthers.upper.toFixed(1)}`;
  return `about ${toOthers.ratio.toFixed(1)} times (${toOthers.lower.toFixed(1)} ${upper})`;
}

/** Two digits are as exact as such a number is: 1,234 more dives are "1,300". */
function roundUp(dives: number): number {
  const step = 10 ** Math.max(0, Math.floor(Math.log10(Math.max(1, dives))) - 1);
  return Math.ceil(dives / step) * step;
}

/** What the comparison says as a whole. */
export function ratesText({ rows, fleet }: Rates, by: By): string {
  const { one, many } = groupWords[by];
  if (fleet.dives === 0) return "No dives were counted in this period, so there is no rate.";
  const usual = fleet.interval.answer === "refused" ? "" : ` All together: ${countText(fleet.faults, "fault")} in ${divesText(fleet.dives)} of parts, ${rateText(fleet.interval.rate)} per 100.`;
  const worse = rows.filter((row) => row.verdict.verdict === "worse").map((row) => row.name);
  const unsure = rows.filter((row) => row.verdict.verdict === "too-little-to-tell").length;
  const says =
    worse.length > 0
      ? `${worse.join(", ")} ${worse.length === 1 ? "fails" : "fail"} more often than the others, beyond what chance would do among ${numberText(rows.length)} ${many}.`
      : `No ${one} fails more often than the others beyond what chance would do among ${numberText(rows.length)} ${many}.`;
  return `${says}${usual}${unsure === 0 ? "" : ` For ${numberText(unsure)} of them there is too little to tell.`}`;
}

export function ratesDoNot(by: By, mixed: boolean): string {
  const like = mixed ? " Parts of all kinds stand side by side here, and a second stage has more to go wrong than a hose: choose a kind of part to compare like with like." : "";
  return `It does not say why: ${by === "site" ? "a site" : `a ${groupWords[by].one}`} that is used harder, or looked at more closely, counts more faults. Look at the faults behind the figure before you act on it. Several are compared at once, so a difference is only called one when it would stand among so many (Benjamini and Hochberg, at most one false call in twenty).${like}`;
}

/** What the months say. */
export function monthsText(chart: Months): string {
  const high = chart.months.filter(({ point }) => point?.signal === "above").map(({ month }) => monthText(month));
  const low = chart.months.filter(({ point }) => point?.signal === "below").map(({ month }) => monthText(month));
  if (high.length + low.length === 0) return `No month stands out: each lies where chance alone would put it.${thinText(chart)}`;
  return [high.length === 0 ? null : `More faults than chance explains in ${listText(high)}. Open them: one batch, one boat or one keener eye may be behind it.`, low.length === 0 ? null : `Fewer in ${listText(low)}: see whether faults were still written down.`]
    .filter((part) => part !== null)
    .join(" ");
}

/** What a month would need to stand out, where twice the usual would not. */
function thinText({ months, meanRate }: Months): string {
  const dived = months.flatMap(({ dives, point }) => (point === null ? [] : [{ usual: (meanRate * dives) / 100, out: point.mostExpected + 1 }])).sort((a, b) => a.out - b.out);
  const middle = dived[Math.floor(dived.length / 2)];
  if (middle === undefined || middle.out <= 2 * middle.usual) return "";
  return ` Single months are too little to tell by: with about ${middle.usual.toFixed(1)} faults in a usual one, twice as many would not stand out; ${middle.out} would.`;
}

/** A doubling that takes longer than this to show is not watched for in time. */
const LONG_MONTHS = 12;

export function sumText(chart: Months): string {
  const { cusum } = chart;
  if (cusum.answer === "refused") {
    return cusum.why === "no-base-rate" ? "No fault was counted, so there is no usual rate that could have risen." : "There is too little here to watch for a lasting rise.";
  }
  const first = cusum.signalMonths[0];
  if (first === undefined) {
    const dived = chart.months.filter(({ dives }) => dives > 0);
    const dives = roundUp((cusum.foundAfter * dived.reduce((sum, month) => sum + month.dives, 0)) / Math.max(1, dived.length));
    const after = `about ${countText(Math.ceil(cusum.foundAfter), "month")}, some ${divesText(dives)} of parts`;
    return cusum.foundAfter > LONG_MONTHS ? `Too little to tell a lasting rise soon: had the rate doubled, it would show only after ${after}.` : `The rate has not risen for good. Had it doubled, it would show after ${after}.`;
  }
  return `The rate rose and stayed up: it showed in ${monthText(first)}. Look at what changed before that month: a batch of parts, a new kit, a season, a new way of counting.`;
}
