"use client";
import { useQuery } from "@tanstack/react-query";
import { useRouter } from "next/navigation";
import { ButtonLink } from "../../../components/button.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { PageHead } from "../../../components/page-head.tsx";
import { ScanField } from "../../../components/scan-field.tsx";
import { useHasRole } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { Authorised } from "./authorised.tsx";
import { BeddingChecks } from "./bedding-checks.tsx";
import { blocksOf } from "./blocks.ts";
import { Held } from "./held-sets.tsx";
import { NotJudged } from "./not-judged.tsx";
import { Queue } from "./queue.tsx";
import { ReleaseMany } from "./release-many.tsx";
import { SealedAndWatched } from "./sealed-and-watched.tsx";

/** The technician's day: what lies on the bench, what waits for it, what waits for a signature. */
export function Bench() {
  const trpc = useTRPC();
  const router = useRouter();
  const mayAct = useHasRole("technician");
  const work = useQuery(trpc.workOrders.queue.queryOptions());
  const faults = useQuery(trpc.bench.queue.queryOptions());
  const toRelease = useQuery(trpc.bench.toRelease.queryOptions());
  const held = useQuery(trpc.sets.outOfService.queryOptions());
  const models = useQuery(trpc.models.list.queryOptions());
  const error = work.error ?? faults.error ?? toRelease.error ?? held.error ?? models.error;
  const blocks = blocksOf(held.data?.rows ?? []);

  return (
    <>
      <PageHead title="Bench" lead="Work is recorded by whoever is authorised for the maker today. Work and release are two acts.">
        <ButtonLink href="/bench/report?where=bench">
          <Icon name="tag" /> Report a fault
        </ButtonLink>
      </PageHead>
      <ScanField label="Scan a set to work on it" act="Open" onScan={(tag) => router.push(`/bench/${encodeURIComponent(tag)}`)} />
      {error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(error)}</p>
        </Notice>
      ) : work.data === undefined || faults.data === undefined || toRelease.data === undefined || held.data === undefined || models.data === undefined ? (
        <p role="status">The bench is being read…</p>
      ) : (
        <div className="grid gap-8">
          <Authorised makers={work.data.makers} />
          <Queue items={work.data.items} />
          <ReleaseMany sets={blocksOf(toRelease.data.sets).toRelease} mayAct={mayAct} />
          <BeddingChecks items={work.data.items} makers={work.data.makers} />
          <Held sets={blocks.otherwiseHeld} />
          <SealedAndWatched sets={blocks.sealed} faults={faults.data.faults} />
          <NotJudged models={models.data} />
          {held.data.total > held.data.rows.length ? (
            <p>
              Only the first {held.data.rows.length} of {held.data.total} sets out of service are shown.
            </p>
          ) : null}
        </div>
      )}
    </>
  );
}
