import type { ReleaseLack } from "@hangrail/rules/release";
import { lackWords } from "../../../work-order-words.ts";

/** What a release still lacks, all of it at once. */
export function Lacks({ lacks }: { lacks: readonly ReleaseLack[] }) {
  return (
    <ul className="grid list-disc gap-1 ps-6">
      {[...new Set(lacks.map(lackWords))].map((sentence) => (
        <li key={sentence}>{sentence}</li>
      ))}
    </ul>
  );
}
