/** The import's steps and clashes in words. */
import type { Outputs } from "../../../trpc/types.ts";

export type ImportJob = Outputs["fleet"]["imports"][number];
export type Recorded = Outputs["fleet"]["record"];
export type Clash = Extract<Recorded, { answer: "clash" }>["problems"][number];

export function phaseWords(phase: ImportJob["phase"]): string {
  switch (phase) {
    case "reading":
      return "reading the file";
    case "checking":
      return "checking every cell";
    case "recording":
      return "recording the rows";
    case "done":
      return "recorded";
    case "refused":
      return "not recorded";
    case "failed":
      return "broken off: nothing was recorded";
  }
}

/** Whether it is still on its way. */
export function isRunning(job: ImportJob): boolean {
  return job.finishedAt === null;
}

/** What a row contradicts, and what to do about it. */
export function clashWords({ code, tag, serial }: Clash): string {
  const set = tag ?? "its set";
  const part = serial === null ? "the part" : `the part ${serial}`;
  switch (code) {
    case "tag-at-other-site":
      return `The tag ${set} belongs to a set of another site. Tags are used once; give this set another.`;
    case "fitted-elsewhere":
      return `${capital(part)} is recorded in another set or another position. Correct the row, or refit it at the bench first.`;
    case "set-busy":
      return `${set} is out, sealed or retired, so nothing can be added to it now.`;
    case "set-recorded":
      return `${set} is recorded already, and a part without a serial cannot be told from one that is in it. Give the serial, or fit the part at the bench.`;
    case "position-taken":
      return `${set} has another part in this position already. Correct the row, or refit it at the bench.`;
    case "no-such-component":
      return `There is no component with the serial ${serial ?? "given"} at this site. Bring in its set first.`;
    case "serial-twice":
      return `The serial ${serial ?? "given"} belongs to several components of this maker, so the row could mean either.`;
    case "count-above-reading":
      return `The row counts more dives than ${part} has in all. Correct one of the two.`;
  }
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
