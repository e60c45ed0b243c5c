"use client";
import { useQuery } from "@tanstack/react-query";
import { Notice } from "../../../../components/notice.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { Clock } from "./clock.tsx";
import { PolicyForm } from "./policy-form.tsx";

export function Settings() {
  const trpc = useTRPC();
  const site = useQuery(trpc.site.get.queryOptions());
  const isManager = useHasRole("manager");
  if (site.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p>{errorWords(site.error)}</p>
      </Notice>
    );
  }
  if (site.data === undefined) return <p role="status">Being read…</p>;
  const { name, timeZone, units, policy, retentionMonths, releaseBySecond } = site.data;
  return (
    <div className="grid gap-8">
      <section className="sheet">
        <h2>{name}</h2>
        <dl className="mt-3 grid grid-cols-[auto_1fr] gap-x-6 gap-y-2">
          <dt className="text-soft">Time zone</dt>
          <dd>{timeZone.replaceAll("_", " ")}</dd>
          <dt className="text-soft">Units shown</dt>
          <dd>{units === "metric" ? "Metric: bar, metres, °C" : "US: psi, feet, °F"}</dd>
        </dl>
      </section>
      <Clock />
      <PolicyForm now={{ ...policy, retentionMonths }} releaseBySecond={releaseBySecond} units={units} mayChange={isManager} />
    </div>
  );
}
