import type { Outputs } from "../../../trpc/types.ts";

type Report = Outputs["record"]["verify"];
type Break = Report["breaks"][number];
type Difference = Report["facts"][number];
type Problem = Report["checkpoints"]["problems"][number];

/** Where a chain breaks, and how. */
export function breakWords({ of, seq, why }: Break): string {
  const entry = `${of ?? "A set that is no longer here"}, entry ${seq}`;
  switch (why) {
    case "content":
      return `${entry}: changed after it was written.`;
    case "link":
      return `${entry}: does not follow the entry before it. One was taken out, put in or moved.`;
    case "gap":
      return `${entry}: missing.`;
    case "version":
      return `${entry}: hashed in a way this Hangrail does not know.`;
  }
}

const FACTS: Readonly<Record<Difference["fact"], string>> = {
  set: "where the set stands", hire: "a hire", return: "a return", hirer: "who hired it", fault: "a fault", "fault-cleared": "how a fault was cleared", "fault-confirmed": "what was found of a fault",
  work: "work on a part", release: "a release", fitting: "a part that was fitted", removal: "a part that was taken off", "bench-test": "a bench test", wash: "a wash", dives: "dives counted for a part",
  component: "a part's counts and dates", bath: "a bath", limits: "a maker's limits", "bench-limits": "limits of a bench test", authorisation: "a technician's authorisation", policy: "the site's settings",
  notice: "a safety notice cleared", photo: "a photograph", "work-order": "a work order", custody: "whose hands a sealed set went through", "act-kind": "what an act does to a set",
};

/** A fact that is not what the record tells. */
export function factWords({ of, fact, seq, differs }: Difference): string {
  const where = of ?? "The whole centre";
  if (differs.includes("missing")) return `${where}, entry ${seq}: tells of ${FACTS[fact]}, which is not there any more.`;
  if (differs.includes("act")) return `${where}: ${FACTS[fact]} that no entry tells of.`;
  return `${where}${seq === null ? "" : `, entry ${seq}`}: ${FACTS[fact]} is not what the record tells (${differs.join(", ")}).`;
}

/** What is wrong with a checkpoint. */
export function checkpointWords({ number, why, of, seq }: Problem): string {
  const which = `Checkpoint ${number}`;
  switch (why) {
    case "number":
      return `${which}: one before it is missing.`;
    case "previous":
      return `${which}: does not name the one before it.`;
    case "signature":
      return `${which}: its signature is not of its key.`;
    case "other-key":
      return `${which}: signed with another key than this centre's. After the key was lost that is to be expected once.`;
    case "root":
      return `${which}: what was written down of it does not give what was signed.`;
    case "lost-head":
      return of === null ? `${which}: an entry of another site that it covers is gone or was written anew.` : `${which}: entry ${seq} of ${of}, which it covers, is gone or was written anew.`;
    case "not-here":
      return `${which}: is not here. The record was cut back to before it.`;
    case "differs":
      return `${which}: says something else than the copy kept elsewhere.`;
  }
}
