/** Work orders and releases in words: what an order is for, how it stands, what a release still lacks. */
import type { ReleaseLack } from "@hangrail/rules/release";
import { WORK_ORDER_KINDS, type Urgency, type WorkOrderKind, type WorkOrderState } from "@hangrail/rules/work-orders";
import { dayText } from "./format.ts";

/** "Repair": what an order is for. */
export function orderKindTitle(kind: WorkOrderKind): string {
  switch (kind) {
    case "inspection":
      return "Inspection";
    case "service":
      return "Service";
    case "repair":
      return "Repair";
    case "bedding-check":
      return "Bedding check";
    case "notice":
      return "Safety notice";
    case "new-component":
      return "First inspection";
  }
}

/** "a repair": the same within a sentence, also of an entry from a later version. */
export function orderKindWords(kind: unknown): string {
  const known = WORK_ORDER_KINDS.find((one) => one === kind);
  switch (known) {
    case "inspection":
      return "an inspection";
    case "service":
      return "a service";
    case "repair":
      return "a repair";
    case "bedding-check":
      return "a bedding check";
    case "notice":
      return "the remedy of a safety notice";
    case "new-component":
      return "the first inspection of a new component";
    case undefined:
      return "work";
  }
}

export function orderStateWords(state: WorkOrderState): string {
  switch (state) {
    case "waiting":
      return "waiting";
    case "taken":
      return "on the bench";
    case "parked":
      return "awaiting parts";
    case "done":
      return "done";
    case "dropped":
      return "given up";
  }
}

/** The heading of a part of the queue, and what puts an order there. */
export function urgencyWords(urgency: Urgency): { title: string; why: string } {
  switch (urgency) {
    case "stopped":
      return { title: "First: tagged out, or under a notice", why: "Nobody may dive these, and they may be dangerous." };
    case "overdue":
      return { title: "Held until the work is done", why: "Work is overdue, or something has to be put right." };
    case "falls-due":
      return { title: "Falls due soon", why: "Due within 30 days: better now than on the morning it is needed." };
    case "later":
      return { title: "When there is time", why: "Nothing holds these today." };
  }
}

/** What a release still lacks, as a sentence with what to do. */
export function lackWords(lack: ReleaseLack): string {
  switch (lack.code) {
    case "evidence-lock":
      return "It is sealed as evidence: nothing may be done to it.";
    case "retired":
      return "It is retired.";
    case "out":
      return "It is with a hirer. The desk takes it back first.";
    case "order-open":
      return "Its work order is still open. Finish it, or drop it.";
    case "fault":
      return lack.severity === "out" ? "A fault that tags it out is open. Mend it and clear it." : "A fault that holds it is open. Put it right and clear it.";
    case "test":
      return testLackWords(lack.last);
    case "not-authorised":
      return `You are not authorised for ${lack.maker} on ${dayText(lack.on)}. Somebody who is has to release it.`;
    case "not-authorised-oxygen":
      return `You are not authorised for oxygen-clean work on ${lack.maker} on ${dayText(lack.on)}. Somebody who is has to release it.`;
    case "second-person":
      return "You did some of the work, and this site asks for a second person. Somebody else has to release it.";
  }
}

function testLackWords(last: Extract<ReleaseLack, { code: "test" }>["last"]): string {
  if (last === null) return "No bench test as left was passed since it was last opened, refitted or serviced. Test it.";
  if (last.verdict === "fail") return "The last bench test failed. Put it right and test again.";
  return "The last bench test could not be judged, and not judged is no pass. Find what was missing and test again.";
}
