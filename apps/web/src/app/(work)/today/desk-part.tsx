"use client";
import { ButtonLink } from "../../../components/button.tsx";
import { Plate } from "../../../components/plate.tsx";
import { backWords } from "../../../desk-words.ts";
import { countWords } from "../../../today-words.ts";
import { withTags } from "../desk/tags-of.ts";
import { Matter, Part } from "./part.tsx";
import type { Summary } from "./today.tsx";

type OutRow = Summary["out"]["late"][number];

export function DeskPart({ summary }: { summary: Summary }) {
  const { out, states, today } = summary;
  return (
    <Part title="Desk" icon="desk" to="/desk" toWords="Hand out">
      <p className="text-xl">
        <strong>{countWords(states.ready ?? 0, "ready")}</strong>, {out.total} out.
      </p>
      <div>
        <ButtonLink href="/desk/morning">Morning sheet</ButtonLink>
      </div>
      <Matter title={countWords(out.late.length, "late")} pressing={out.late.length > 0}>
        <OutRows rows={out.late} today={today} />
      </Matter>
      <Matter title={countWords(out.dueToday.length, "due back today")}>
        <OutRows rows={out.dueToday} today={today} />
      </Matter>
    </Part>
  );
}

const most = 8;

function OutRows({ rows, today }: { rows: readonly OutRow[]; today: string }) {
  if (rows.length === 0) return null;
  return (
    <>
      <ul className="grid gap-2">
        {rows.slice(0, most).map((row) => (
          <li key={row.setId} className="flex flex-wrap items-center gap-x-4">
            <Plate tag={row.tag} to={`/sets/${row.tag}`} />
            <span className="min-w-0">
              {row.hirer ?? "Name erased"}
              {row.backOn < today ? <strong>. {backWords(today, row.backOn)}</strong> : null}
            </span>
          </li>
        ))}
      </ul>
      <div>
        <ButtonLink href={rows.length === 1 ? withTags("/desk/back", rows.map((row) => row.tag)) : "/desk/back"}>{rows.length > most ? `Take back: all ${rows.length}` : "Take back"}</ButtonLink>
      </div>
    </>
  );
}
