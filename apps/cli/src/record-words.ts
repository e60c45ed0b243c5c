import type { Named, RecordReport } from "@hangrail/api/verify-record";
import type { CheckpointFault } from "@hangrail/rules/checkpoint-audit";
import type { BreakReason } from "@hangrail/rules/record-chain";

const BREAKS: Readonly<Record<BreakReason, string>> = {
  content: "the entry was changed after it was written",
  link: "the entry does not follow the one before it",
  gap: "the entry is missing",
  version: "the entry was hashed in a way this Hangrail does not know",
};

const CHECKPOINTS: Readonly<Record<CheckpointFault, string>> = {
  number: "one before it is missing",
  previous: "it does not name the one before it",
  signature: "its signature is not of its key",
  "other-key": "it was signed with another key than this centre's",
  root: "the heads written down do not give its root",
  "lost-head": "an entry it covers is gone or was written anew",
  "not-here": "it was kept elsewhere and is not here: the record was cut back, or brought back from before",
  differs: "the one kept elsewhere says something else",
};

/** What a verification found, a line each; the first of each kind of thing first. */
export function reportLines({ breaks, facts, checkpoints }: RecordReport): string[] {
  return [
    ...breaks.map((one) => `${place(one)}: ${BREAKS[one.why]}.`),
    ...facts.map((one) => `${place(one)}: ${one.differs.includes("missing") ? `what it tells is not among the facts (${one.fact})` : `the facts say otherwise (${one.fact}: ${one.differs.join(", ")})`}.`),
    ...checkpoints.problems.map((one) => `Checkpoint ${one.number}: ${CHECKPOINTS[one.why]}${one.chain === undefined ? "" : ` (${place(one)})`}.`),
    checkpoints.newest === null ? "No checkpoint was made yet: a cut-off tail would not show." : `${checkpoints.count} checkpoints; the newest, ${checkpoints.newest.number} of ${checkpoints.newest.at}, has the fingerprint ${checkpoints.newest.fingerprint}.`,
  ];
}

function place({ of, chain, seq }: Named<{ readonly chain?: string | null; readonly seq?: number | null }>): string {
  const where = of ?? chain ?? "The whole centre";
  return seq === null || seq === undefined ? where : `${where}, entry ${seq}`;
}
