"use client";
import { Button } from "../../../../components/button.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { Day } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { backWords } from "../../../../desk-words.ts";
import { countText } from "../../../../format.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";

type OutRow = Outputs["desk"]["outNow"][number];

type OutListProps = {
  rows: readonly OutRow[] | undefined;
  error: unknown;
  chosen: readonly string[];
  /** Null for those who may only look. */
  onChoose: ((tags: readonly string[]) => void) | null;
};

/** Who has which sets, the late ones first; a party is taken back with one press. */
export function OutList({ rows, error, chosen, onChoose }: OutListProps) {
  const { today } = useWho();
  const hires = rows === undefined ? [] : byHire(rows);
  return (
    <section aria-labelledby="out-now" className="grid content-start gap-4">
      <h2 id="out-now">{rows === undefined || rows.length === 0 ? "Out now" : `Out now: ${countText(rows.length, "set")}`}</h2>
      {error !== null && error !== undefined ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(error)}</p>
        </Notice>
      ) : rows === undefined ? (
        <p role="status">Being read…</p>
      ) : rows.length === 0 ? (
        <p className="text-soft">No set is out.</p>
      ) : null}
      <ul className="grid gap-4">
        {hires.map(({ sets, row }) => {
          const late = row.backOn < today;
          const tags = sets.map((set) => set.tag);
          return (
            <li key={row.hire} className="sheet grid gap-3">
              <p className="flex flex-wrap items-center gap-x-4 gap-y-1">
                <span className={`inline-flex items-center gap-2 rounded-lg font-bold ${late ? "tinted px-2.5 py-1" : ""}`} data-tone={late ? "warn" : undefined}>
                  <Icon name={late ? "triangle" : "clock"} /> {backWords(today, row.backOn)}
                </span>
                <Day day={row.backOn} />
              </p>
              <p>
                <strong>{row.hirer ?? "Name erased"}</strong>
                {row.contact === null ? null : `, ${row.contact}`}
              </p>
              <p className="flex flex-wrap gap-3">
                {tags.map((tag) => (
                  <Plate key={tag} tag={tag} />
                ))}
              </p>
              {onChoose === null ? null : (
                <div>
                  <Button refusedBecause={tags.every((tag) => chosen.includes(tag)) ? "In the list already." : null} onClick={() => onChoose(tags)}>
                    Take back {tags.length === 1 ? tags[0] : `these ${tags.length}`}
                  </Button>
                </div>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function byHire(rows: readonly OutRow[]) {
  const hires = new Map<string, OutRow[]>();
  for (const row of rows) hires.set(row.hire, [...(hires.get(row.hire) ?? []), row]);
  return [...hires.values()].flatMap((sets) => (sets[0] === undefined ? [] : [{ row: sets[0], sets }]));
}
