"use client";
import { faultOf, isFaultCode } from "@hangrail/rules/faults";
import { Link } from "../../../components/link.tsx";
import { Plate } from "../../../components/plate.tsx";
import { useWho } from "../../../components/who.tsx";
import { countWords } from "../../../today-words.ts";
import { countText, instantText } from "../../../format.ts";
import { Matter, Part } from "./part.tsx";
import type { Summary } from "./today.tsx";

const most = 6;

export function BenchPart({ summary }: { summary: Summary }) {
  const { states, faults, notJudged } = summary;
  const { site } = useWho();
  const toRelease = states["to-release"] ?? 0;
  return (
    <Part title="Bench" icon="spanner" to="/bench" toWords="To the bench">
      <Matter title={countWords(faults.length, "open fault")} pressing={faults.length > 0}>
        <ul className="grid gap-2">
          {faults.slice(0, most).map((fault) => (
            <li key={fault.id} className="flex flex-wrap items-center gap-x-4">
              <Plate tag={fault.tag} to={`/sets/${fault.tag}`} />
              <span className="min-w-0 flex-1 basis-52">
                {isFaultCode(fault.code) ? faultOf(fault.code).words : fault.code}. {fault.reportedBy}, {instantText(fault.reportedAt, site.timeZone)}
              </span>
            </li>
          ))}
        </ul>
        {faults.length > most ? <p className="text-soft">And {countText(faults.length - most, "more fault")}.</p> : null}
      </Matter>
      <Matter title={countWords(toRelease, "to release")} pressing={toRelease > 0} />
      {(states["on-the-bench"] ?? 0) + (states["awaiting-parts"] ?? 0) === 0 ? null : <p>{countWords(states["on-the-bench"] ?? 0, "on the bench")}, {states["awaiting-parts"] ?? 0} awaiting parts.</p>}
      <Matter title={notJudged.length === 0 ? "Every model in use has its limits" : countWords(notJudged.length, "model without limits")} pressing={notJudged.length > 0}>
        <ul className="grid gap-1">
          {notJudged.map((model) => (
            <li key={model.id}>
              <Link href="/models" className="inline-flex min-h-12 items-center">
                {model.maker} {model.name}
              </Link>
              : its {countText(model.sets, "set")} cannot go out until the maker&apos;s limits are entered.
            </li>
          ))}
        </ul>
      </Matter>
    </Part>
  );
}
