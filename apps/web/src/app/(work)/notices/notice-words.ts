/** Why a part is matched, which serials are meant, and what could not be read. */
import { countText } from "../../../format.ts";
import type { Outputs } from "../../../trpc/types.ts";

export type NoticeRow = Outputs["notices"]["list"][number];
export type OneNotice = Outputs["notices"]["one"];
export type Match = OneNotice["matches"][number];
export type Unread = Extract<Outputs["notices"]["preview"], { answer: "ranges-refused" }>["refused"][number];

export function whyWords(why: Match["why"]): string {
  switch (why) {
    case "in-range":
      return "its serial is in the range";
    case "every-serial":
      return "every serial of its model is meant";
    case "serial-unknown":
      return "its serial is not known: held until it is read";
    case "near-miss":
      return "its serial is close to a range: read it on the part itself";
    case null:
      return "matched by hand";
  }
}

/** "Beck, FI000037 to FI000076", or "Beck, every serial". */
export function rangeText({ model, range }: Pick<OneNotice["ranges"][number], "model" | "range">): string {
  if (range === null) return `${model}, every serial`;
  const written = (number: string) => `${range.prefix}${number.padStart(range.digits, "0")}`;
  return range.low === range.high ? `${model}, ${written(range.low)}` : `${model}, ${written(range.low)} to ${written(range.high)}`;
}

/** How far this site is with a notice. */
export function progressText({ open, check, cleared, out }: Pick<NoticeRow, "open" | "check" | "cleared" | "out">): string {
  const left = open + check;
  if (left === 0) return cleared === 0 ? "No part here is named by it." : `Done: ${countText(cleared, "part")} seen to.`;
  const call = out === 0 ? "" : ` ${countText(out, "set")} to call back.`;
  const look = check === 0 ? "" : ` ${countText(check, "part")} to look at by hand.`;
  return `${countText(left, "part")} still held, ${cleared} seen to.${call}${look}`;
}

/** Why a range could not be read. */
export function unreadText({ text, reason }: Unread): string {
  switch (reason.code) {
    case "none":
      return "No serial is written for one of the models. Write them, or choose every serial.";
    case "too-many":
      return "There are more than 400 ranges of one model. Record them as two notices.";
    case "empty":
      return "A range is empty.";
    case "too-long":
      return `“${text}” is too long for a serial.`;
    case "form":
      return `“${text}” is no serial and no range of two.`;
    case "prefix-differs":
      return `“${text}” has other letters at its two ends.`;
    case "digit-count-differs":
      return `“${text}” has more digits at one end than at the other.`;
    case "high-below-low":
      return `“${text}” ends below where it begins.`;
  }
}
