import { assemblyDoubtWords, assemblyFaultWords } from "../assembly-words.ts";
import type { Outputs } from "../trpc/types.ts";
import { Link } from "./link.tsx";

/** What is wrong with a set as it goes together, then what nobody recorded, with the way to record it. */
export function AssemblyReasons({ assembly }: { assembly: Outputs["assembly"]["judge"] }) {
  const { faults, doubts, names, models } = assembly;
  return (
    <ul className="grid gap-1">
      {faults.map((fault) => (
        <li key={JSON.stringify(fault)}>{assemblyFaultWords(fault, names)}</li>
      ))}
      {doubts.map((doubt) => {
        const model = models[doubt.component];
        const href = doubt.code === "pairing-unknown" ? "/models/pairings" : `/models/${model}`;
        return (
          <li key={JSON.stringify(doubt)}>
            {assemblyDoubtWords(doubt, names)} {model === undefined ? null : <Link href={href}>{doubt.code === "pairing-unknown" ? "To the pairings" : "To the model"}</Link>}
          </li>
        );
      })}
    </ul>
  );
}
