"use client";
import { keepPreviousData, useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import { useRef, useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { useConnection } from "../../../../components/connection.ts";
import { Notice } from "../../../../components/notice.tsx";
import { ScanField } from "../../../../components/scan-field.tsx";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useHasRole, useWho } from "../../../../components/who.tsx";
import { backScanWords, takenBackWords, whyNotBackYet, type WaterKind } from "../../../../back-words.ts";
import { deskRefusal, unansweredWords, type SetView } from "../../../../desk-words.ts";
import { countText } from "../../../../format.ts";
import { isRefused } from "../../../../refused.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { readScan } from "../scan-rule.ts";
import { mostSets, withTags } from "../tags-of.ts";
import { gapOf, lineOf, startEntry, type BackEntry } from "./back-entry.ts";
import { BackSet } from "./back-set.tsx";
import { OutList } from "./out-list.tsx";

/** Sets coming back: scanned, asked about one by one, recorded together. */
export function TakeBack({ first }: { first: readonly string[] }) {
  const trpc = useTRPC();
  const queryClient = useQueryClient();
  const { site } = useWho();
  const mayTakeBack = useHasRole("desk");
  const lost = useConnection() === "lost";
  const { requestId, renew } = useRequestId();
  const [tags, setTags] = useState(first);
  const [entries, setEntries] = useState<Readonly<Record<string, BackEntry>>>({});
  const [lastWater, setLastWater] = useState<WaterKind>("sea");
  const [remark, setRemark] = useState<string | null>(null);
  const [done, setDone] = useState<string | null>(null);
  const scanPlace = useRef<HTMLDivElement>(null);
  const looked = useQuery(trpc.desk.lookUp.queryOptions({ tags: [...tags], hire: null }, { enabled: mayTakeBack && tags.length > 0, placeholderData: keepPreviousData, staleTime: 0 }));
  const outNow = useQuery(trpc.desk.outNow.queryOptions());

  const found = tags.flatMap((tag) => looked.data?.sets.find((set) => set.tag === tag) ?? []);
  const back = found.filter(isOut);
  const entryOf = (set: OutSet) => entries[set.setId] ?? startEntry(set.out.plannedDives, lastWater);
  const change = (next: readonly string[]) => {
    setTags(next);
    setDone(null);
    window.history.replaceState(null, "", withTags("/desk/back", next));
  };
  const add = (more: readonly string[]) => {
    setRemark(null);
    // What turned out not to be out leaves with the next scan.
    const kept = tags.filter((tag) => looked.data === undefined || looked.isPlaceholderData || back.some((set) => set.tag === tag));
    change([...new Set([...kept, ...more])].slice(0, mostSets));
  };

  const takeBack = useMutation(
    trpc.desk.takeBack.mutationOptions({
      onSuccess: (answer, sent) => {
        void queryClient.invalidateQueries();
        if (isRefused(answer)) return;
        const nameOf = (setId: string) => back.find((set) => set.setId === setId)?.tag ?? "a set";
        renew();
        setEntries({});
        change([]);
        setDone(takenBackWords(sent.sets.map((line) => nameOf(line.setId)), sent.sets.filter((line) => line.problem).map((line) => nameOf(line.setId))));
        scanPlace.current?.querySelector("input")?.focus();
      },
    }),
  );

  const refusal = whyNotBackYet({ mayTakeBack, lost, gaps: back.map((set) => ({ tag: set.tag, gap: gapOf(entryOf(set)) })), judging: tags.length > 0 && looked.data === undefined });
  const submit = () => {
    if (refusal === null && !takeBack.isPending) takeBack.mutate({ requestId, sets: back.map((set) => lineOf(set.setId, entryOf(set))) });
  };
  const onScan = (_: string, raw: string) => {
    const scan = readScan(raw);
    if (scan.kind !== "set") return setRemark(`“${raw}” is no tag. Scan the set.`);
    if (back.some((set) => set.tag === scan.tag)) return setRemark(`${scan.tag} is in the list already.`);
    add([scan.tag]);
  };
  const heard = remark ?? done ?? (tags.length === 0 ? null : backScanWords(tags.at(-1) ?? "", looked.data, looked.isPlaceholderData));
  const isLatestOut = back.some((set) => set.tag === tags.at(-1));

  return (
    <div className="grid gap-8 lg:grid-cols-[minmax(0,1fr)_20rem]">
      <div className="grid content-start gap-6">
        <div ref={scanPlace}>
          <ScanField size="desk" act="Take" label="Scan a set that came back" onScan={onScan} heard={heard} refused={done === null && (remark !== null || (heard !== null && !isLatestOut && !looked.isFetching))} />
        </div>
        {looked.error === null ? null : (
          <Notice kind="stop" title="The sets could not be looked up" announce>
            <p>{errorWords(looked.error)}</p>
            <Button onClick={() => void looked.refetch()}>Try again</Button>
          </Notice>
        )}
        {done === null ? null : (
          <Notice kind="ok">
            <p className="text-xl">{done}</p>
          </Notice>
        )}
        {back.map((set) => (
          <BackSet
            key={set.setId}
            set={set}
            entry={entryOf(set)}
            hirer={outNow.data?.find((row) => row.setId === set.setId)?.hirer ?? null}
            onChange={(entry) => {
              setLastWater(entry.water);
              setEntries({ ...entries, [set.setId]: entry });
            }}
            onLeave={() => change(tags.filter((tag) => tag !== set.tag))}
          />
        ))}
        {back.length === 0 ? null : (
          <div className="grid gap-3">
            <Button tone="primary" size="desk" pending={takeBack.isPending} pendingWords="Being recorded…" refusedBecause={refusal} onClick={submit}>
              {back.length === 1 ? "Take back" : `Take back ${countText(back.length, "set")}`}
            </Button>
            {refusal === null ? null : <p className="text-soft">{refusal}</p>}
          </div>
        )}
        {takeBack.error === null ? null : (
          <Notice kind="stop" title={unansweredWords(takeBack.error).title} announce>
            <p>{unansweredWords(takeBack.error).sentence}</p>
            <p className="mb-3">Everything you entered is still here. To try again is safe: the same return is never counted twice.</p>
            <Button onClick={() => takeBack.variables !== undefined && takeBack.mutate(takeBack.variables)}>Try again</Button>
          </Notice>
        )}
        {isRefused(takeBack.data) ? (
          <Notice kind="stop" title="Nothing was recorded" announce>
            <p>{deskRefusal(takeBack.data, site.timeZone)}</p>
            {takeBack.data.code === "request-reused" ? (
              <Button
                onClick={() => {
                  renew();
                  takeBack.reset();
                }}
              >
                Start afresh
              </Button>
            ) : null}
          </Notice>
        ) : null}
      </div>
      <OutList rows={outNow.data} error={outNow.error} chosen={tags} onChoose={mayTakeBack ? add : null} />
    </div>
  );
}

export type OutSet = SetView & { out: NonNullable<SetView["out"]> };

function isOut(set: SetView): set is OutSet {
  return set.out !== null;
}
