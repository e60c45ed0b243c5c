"use client";
import { useQuery } from "@tanstack/react-query";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { Day } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { listText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { AddGauge } from "./add-gauge.tsx";
import { CalibrateGauge } from "./calibrate-gauge.tsx";
import { calibrationLook, calibrationText, classText, spanText, type Gauge } from "./gauge-words.ts";
import { RetireGauge } from "./retire-gauge.tsx";

/** The gauges in use; retired ones folded away below. */
export function Gauges() {
  const trpc = useTRPC();
  const list = useQuery(trpc.gauges.list.queryOptions());
  if (list.error !== null) {
    return (
      <Notice kind="stop" title="The test gauges could not be read" announce>
        <p>{errorWords(list.error)}</p>
      </Notice>
    );
  }
  if (list.data === undefined) return <p role="status">The test gauges are being read…</p>;
  const inUse = list.data.gauges.filter((gauge) => gauge.retiredAt === null);
  const retired = list.data.gauges.filter((gauge) => gauge.retiredAt !== null);
  const lacking = (["pressure", "effort"] as const).filter((measures) => !inUse.some((gauge) => gauge.measures === measures && (gauge.calibration === "in-calibration" || gauge.calibration === "due-soon")));
  return (
    <div className="grid gap-8">
      {lacking.length === 0 ? null : (
        <Notice kind="warn" title="No bench test can pass">
          <p>No gauge in calibration measures {listText(lacking.map((measures) => (measures === "pressure" ? "pressures" : "breathing efforts")))}.</p>
        </Notice>
      )}
      <section aria-labelledby="in-use" className="grid gap-4">
        <h2 id="in-use">In use</h2>
        {inUse.length === 0 ? <p>No test gauge is entered yet.</p> : null}
        <ul className="grid items-start gap-4 lg:grid-cols-2">
          {inUse.map((gauge) => (
            <GaugeCard key={gauge.id} gauge={gauge} />
          ))}
        </ul>
      </section>
      <AddGauge />
      {retired.length === 0 ? null : (
        <details>
          <summary className="min-h-12 py-3 text-lg font-bold">Out of use: {retired.length}</summary>
          <ul className="grid gap-2">
            {retired.map((gauge) => (
              <li key={gauge.id}>
                {gauge.name}, serial {gauge.serial}
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

function GaugeCard({ gauge }: { gauge: Gauge }) {
  const { site } = useWho();
  const { icon, word } = calibrationLook(gauge.calibration);
  return (
    <li className="sheet grid gap-3">
      <div className="flex flex-wrap items-center justify-between gap-3">
        <h3>{gauge.name}</h3>
        <span className="flex items-center gap-2 font-bold">
          <Icon name={icon} /> {word}
        </span>
      </div>
      <p>{calibrationText(gauge)}</p>
      <p>{classText(gauge, site.units)}</p>
      <p className="text-soft">
        Measures {gauge.measures === "pressure" ? "pressures" : "breathing efforts"}, {spanText(gauge, site.units)}; serial {gauge.serial}.
      </p>
      <details>
        <summary className="min-h-12 py-3 font-semibold">Calibrations: {gauge.calibrations.length}</summary>
        <ul className="grid gap-2">
          {gauge.calibrations.map((one) => (
            <li key={`${one.on} ${one.notedAt}`}>
              <Day day={one.on} />, valid until <Day day={one.until} />: {one.certificate}. <span className="text-soft">Noted by {one.notedBy}.</span>
            </li>
          ))}
        </ul>
      </details>
      <CalibrateGauge gauge={gauge} />
      <RetireGauge gauge={gauge} />
    </li>
  );
}
