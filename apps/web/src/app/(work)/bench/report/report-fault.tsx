"use client";
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { foundWheres, foundWords, type FoundWhere } from "../../../../bench-words.ts";
import { Button, ButtonLink } from "../../../../components/button.tsx";
import { Choices } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PageHead } from "../../../../components/page-head.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { ScanField } from "../../../../components/scan-field.tsx";
import { StateMark } from "../../../../components/state-mark.tsx";
import { useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords, type StaffRole } from "../../../../words.ts";
import { AddPhoto } from "../fault-photos.tsx";
import { ChooseFault } from "./choose-fault.tsx";

const placeOfRole: Readonly<Record<StaffRole, FoundWhere>> = { desk: "desk", "wash-room": "wash-room", technician: "bench", manager: "desk" };
const wayBack: Readonly<Record<FoundWhere, { href: string; name: string }>> = {
  desk: { href: "/desk", name: "Desk" },
  "wash-room": { href: "/wash-room", name: "Wash room" },
  bench: { href: "/bench", name: "Bench" },
  boat: { href: "/desk", name: "Desk" },
};

/** Three presses: the set, the component or the whole set, the line of the list. A fault only ever holds a set. */
export function ReportFault({ first, where }: { first: string | null; where: FoundWhere | null }) {
  const trpc = useTRPC();
  const { staff } = useWho();
  const [tag, setTag] = useState(first);
  const [found, setFound] = useState<FoundWhere>(where ?? placeOfRole[staff.roles[0] ?? "desk"]);
  const [done, setDone] = useState<{ sentence: string; faultId: string } | null>(null);
  const set = useQuery(trpc.sets.one.queryOptions({ tag: tag ?? "" }, { enabled: tag !== null }));
  const back = wayBack[found];
  const begin = (next: string | null) => {
    setDone(null);
    setTag(next);
  };
  return (
    <>
      <PageHead title="Report a fault" lead="Whoever finds it reports it. The set stays here until it is put right; nothing you press here can let a set out.">
        <ButtonLink href={back.href}>{back.name}</ButtonLink>
      </PageHead>
      <div className="grid gap-6">
        {done === null ? null : (
          <>
            <Notice kind="ok" title="Recorded" announce>
              <p className="text-xl">{done.sentence}</p>
            </Notice>
            <div className="flex flex-wrap justify-between gap-4">
              <ButtonLink href={back.href} size="wash" tone="primary">
                Back: {back.name}
              </ButtonLink>
              <Button size="wash" onClick={() => begin(null)}>
                Report another
              </Button>
            </div>
            <AddPhoto key={done.faultId} faultId={done.faultId} label="A photograph of it" />
          </>
        )}
        <ScanField size="desk" label={tag === null ? "First: scan or type the set" : "Another set"} act="Take" onScan={begin} />
        {tag === null || done !== null ? null : set.error !== null ? (
          <Notice kind="stop" title="No such set" announce>
            <p>{errorWords(set.error)}</p>
          </Notice>
        ) : set.data === undefined ? (
          <p role="status">The set is being looked up…</p>
        ) : (
          <>
            <p className="flex flex-wrap items-center gap-4 text-2xl">
              <Plate tag={set.data.tag} /> <StateMark state={set.data.state} />
            </p>
            <Choices label="Found" name="where" choices={foundWheres.map((value) => ({ value, label: foundWords(value) }))} value={found} onChoose={setFound} />
            {set.data.state === "evidence-lock" ? (
              <Notice kind="stop" title="Sealed as evidence" announce>
                <p>Nothing more is recorded of it, and nothing is done to it. Tell the manager.</p>
              </Notice>
            ) : (
              <ChooseFault key={set.data.setId} set={set.data} where={found} onDone={(sentence, faultId) => setDone({ sentence, faultId })} />
            )}
          </>
        )}
      </div>
    </>
  );
}
