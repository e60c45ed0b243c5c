"use client";
import { faultOf, isFaultCode } from "@hangrail/rules/faults";
import { useQuery } from "@tanstack/react-query";
import type { ReactNode } from "react";
import { ButtonLink } from "../../../../../components/button.tsx";
import { Notice } from "../../../../../components/notice.tsx";
import { PaperLine } from "../../../../../components/paper-line.tsx";
import { PrintButton } from "../../../../../components/print-button.tsx";
import { Day, Instant } from "../../../../../components/when.tsx";
import { useWho } from "../../../../../components/who.tsx";
import { countText, divesText } from "../../../../../format.ts";
import { useTRPC } from "../../../../../trpc/client.ts";
import type { Outputs } from "../../../../../trpc/types.ts";
import { errorWords, positionWords } from "../../../../../words.ts";
import { RecordList } from "./record-list.tsx";

type OneRecord = Outputs["setLife"]["record"];

const WORKS = { service: "Service", inspection: "Inspection", "bedding-check": "Bedding check" } as const;
const VERDICTS = { pass: "passed", fail: "failed", "not-judged": "not judged" } as const;

/** The service record of one set, for the file and for whoever asks to see it. */
export function ServiceRecord({ tag }: { tag: string }) {
  const trpc = useTRPC();
  const found = useQuery(trpc.setLife.record.queryOptions({ tag }));
  if (found.error !== null) {
    return (
      <div className="grid gap-6">
        <h1>Service record of {tag}</h1>
        <Notice kind="stop" title="Could not be shown" announce>
          <p>{errorWords(found.error)}</p>
        </Notice>
      </div>
    );
  }
  if (found.data === undefined) return <p role="status">Being read…</p>;
  return <Shown record={found.data} />;
}

function Shown({ record }: { record: OneRecord }) {
  const { site } = useWho();
  return (
    <div className="grid gap-8">
      <div>
        <h1>Service record of {record.tag}</h1>
        <PaperLine />
        <p>{record.retiredAt === null ? "In the fleet." : <>Taken out of the fleet <Instant at={record.retiredAt} timeZone={site.timeZone} />.</>}</p>
        <div className="screen-only mt-4 flex flex-wrap gap-4">
          <PrintButton>Print this record</PrintButton>
          <ButtonLink href={`/sets/${encodeURIComponent(record.tag)}`}>To the set</ButtonLink>
        </div>
      </div>
      <Parts record={record} />
      <Upkeep record={record} />
      <Hygiene record={record} />
      <Signatures />
      <p>
        Not a substitute for the makers&apos; manuals and bulletins, which prevail, as do local law and codes. Work is done only by a person authorised for that make. Limits are those this centre entered. A ready set still needs the pre-dive check.
      </p>
    </div>
  );
}

function Parts({ record }: { record: OneRecord }) {
  const { site } = useWho();
  const lines = record.parts.map((one) => ({
    key: `${one.part} ${one.fittedAt}`,
    line: (
      <>
        <strong>
          {positionWords(one.position)}: {one.part}
        </strong>
        . Bought {one.boughtOn === null ? "on a day not known" : <Day day={one.boughtOn} />}; in use from {one.inUseOn === null ? "a day not known" : <Day day={one.inUseOn} />}; {divesText(one.dives)} in all. Fitted <Instant at={one.fittedAt} timeZone={site.timeZone} />
        {one.takenOffAt === null ? "" : <>, taken off <Instant at={one.takenOffAt} timeZone={site.timeZone} /></>}. Kept by the maker&apos;s limits: {one.manualPage ?? "none accepted yet"}. Planned scrap date: not recorded.
      </>
    ),
  }));
  return <RecordList title="Components: maker, model, serial" lines={lines} empty="Nothing was ever fitted." most={record.most} />;
}

function Upkeep({ record }: { record: OneRecord }) {
  const { site } = useWho();
  const when = (at: string) => <Instant at={at} timeZone={site.timeZone} />;
  const said = (words: string) => (words === "" ? "" : ` “${words}”`);
  const keyed = <One,>(all: readonly One[], line: (one: One) => ReactNode) => all.map((one, nth) => ({ key: String(nth), line: line(one) }));
  return (
    <>
      <RecordList title="Services, inspections and checks" most={record.most} empty="No work is recorded." lines={keyed(record.works, (one) => <><Day day={one.on} />: {WORKS[one.kind]} of {one.part}, by {one.by ?? "nobody named"}.{said(one.words)}</>)} />
      <RecordList title="Kits and parts used" most={record.most} empty="No kit was used." lines={keyed(record.kits, (one) => <>{when(one.at)}: {one.quantity} × {one.kit}, lot {one.lot ?? "not recorded"}, in {one.part}, by {one.by}.</>)} />
      <RecordList title="Bench tests" most={record.most} empty="No test is recorded." lines={keyed(record.tests, (one) => <>{when(one.at)}: {one.phase === "as-found" ? "as found" : "as left"}, <strong>{VERDICTS[one.verdict]}</strong>, by {one.by}.{said(one.words)}</>)} />
      <RecordList
        title="Incidents and repairs"
        most={record.most}
        empty="No fault was ever reported."
        lines={keyed(record.faults, (one) => (
          <>
            {when(one.at)}: {one.code}
            {isFaultCode(one.code) ? `, ${faultOf(one.code).words}` : ""}
            {one.part === null ? "" : `, ${one.part}`}, reported by {one.by}.{said(one.words)}{" "}
            {one.clearedAt === null ? <strong>Still open.</strong> : <>{one.outcome === "mended" ? "Mended" : "Not found"} {when(one.clearedAt)} by {one.clearedBy}.{said(one.clearWords ?? "")}</>}
          </>
        ))}
      />
      <RecordList title="Releases" most={record.most} empty="It was never released." lines={keyed(record.releases, (one) => <>{when(one.at)}: released by {one.by}.{said(one.words)}</>)} />
    </>
  );
}

function Hygiene({ record }: { record: OneRecord }) {
  const { site } = useWho();
  const lines = record.washes.map((one, nth) => ({
    key: String(nth),
    line: (
      <>
        <Instant at={one.at} timeZone={site.timeZone} />: disinfected with {one.disinfectant}, lot {one.lot ?? "not recorded"}, {one.ppm} ppm; dry and clean, by {one.by ?? "nobody named"}.
      </>
    ),
  }));
  return (
    <>
      <p>
        Hygiene: {countText(record.handOuts, "hand-out")} and {countText(record.cleanings, "cleaning")} recorded.
      </p>
      <RecordList title="Hygiene measures" lines={lines} empty="No wash is recorded." most={record.most} />
    </>
  );
}

function Signatures() {
  return (
    <section aria-labelledby="signatures" className="paper-only">
      <h2 id="signatures">Signatures</h2>
      {["Technician", "Second person", "Manager"].map((who) => (
        <p key={who} className="mt-8 border-t border-edge pt-1">
          {who}: name, day, signature
        </p>
      ))}
    </section>
  );
}
