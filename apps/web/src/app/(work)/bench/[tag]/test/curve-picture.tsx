"use client";
import { drawnPoints } from "@hangrail/rules/curve-readings";
import type { PressurePoint } from "@hangrail/rules/pressure-column";
import type { FoundCurve, IncompleteCurve } from "@hangrail/rules/pressure-curve";
import { psiFromBar } from "@hangrail/rules/units";
import { CartesianGrid, Line, LineChart, ReferenceArea, ReferenceLine, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { figureText, limitText, pressureUnit } from "../../../../../bench-test-words.ts";
import { ChartFrame } from "../../../../../components/chart-frame.tsx";
import { countText, type Units } from "../../../../../format.ts";
import { axis, GRID, INK, LINE, margin, SOFT } from "../../../trends/chart-parts.tsx";
import { curveWords } from "./curve-words.ts";

const DRAWN = 600;
const FIVE_MINUTES = 300;

type Band = { low: number | null; high: number | null } | null;
type CurvePictureProps = { title: string; points: readonly PressurePoint[]; found: FoundCurve | IncompleteCurve; band: Band; units: Units; count?: number };

/** Intermediate pressure over time with the model's band behind it and the five minutes of creep marked. */
export function CurvePicture({ title, points, found, band, units, count = points.length }: CurvePictureProps) {
  const says = curveWords(found, units);
  const limits = band === null || (band.low === null && band.high === null) ? "No limit is recorded for this model, so no band is shaded." : `The shaded band is the maker's limit: ${limitText(band, "pressure", units)}.`;
  return (
    <ChartFrame
      title={title}
      says={
        <p>
          {says} {limits}
        </p>
      }
      picture={`A line of pressure over ${countText(Math.round((points.at(-1)?.seconds ?? 0) - (points[0]?.seconds ?? 0)), "second")}. ${says}`}
      height={320}
      numbers={<Numbers points={points} found={found} units={units} count={count} />}
    >
      <Drawing points={points} found={found} band={band} units={units} />
    </ChartFrame>
  );
}

function Drawing({ points, found, band, units }: Omit<CurvePictureProps, "title" | "count">) {
  const shown = (centibar: number) => (units === "metric" ? centibar / 100 : psiFromBar(centibar / 100));
  const rows = drawnPoints(points, DRAWN).map(({ seconds, centibar }) => ({ seconds, pressure: shown(centibar) }));
  const highest = shown(Math.max(...points.map(({ centibar }) => centibar), band?.high ?? 0) + 100);
  const lockUpAt = found.lockUpAt;
  const end = points.at(-1)?.seconds ?? 0;
  return (
    <ResponsiveContainer width="100%" height="100%">
      <LineChart data={rows} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} />
        <XAxis {...axis} type="number" dataKey="seconds" domain={["dataMin", "dataMax"]} tickFormatter={clock} minTickGap={24} label={{ value: "minutes : seconds", position: "insideBottom", offset: -18, fill: INK }} />
        <YAxis {...axis} type="number" width={64} domain={[0, Math.ceil(highest)]} tickFormatter={(value: number) => value.toFixed(units === "metric" ? 1 : 0)} label={{ value: pressureUnit(units), angle: -90, position: "insideLeft", fill: INK }} />
        {band === null || (band.low === null && band.high === null) ? null : (
          <ReferenceArea y1={shown(band.low ?? 0)} y2={shown(band.high ?? points.reduce((most, { centibar }) => Math.max(most, centibar), 0) + 100)} fill={LINE} fillOpacity={0.16} stroke={SOFT} strokeDasharray="3 4" />
        )}
        {lockUpAt === null ? null : <ReferenceLine x={lockUpAt} stroke={INK} strokeDasharray="8 5" label={{ value: "locked up", position: "insideBottomLeft", fill: INK }} />}
        {lockUpAt === null || lockUpAt + FIVE_MINUTES > end ? null : <ReferenceLine x={lockUpAt + FIVE_MINUTES} stroke={INK} strokeDasharray="8 5" label={{ value: "5 minutes", position: "insideBottomRight", fill: INK }} />}
        <Line dataKey="pressure" type="linear" stroke={LINE} strokeWidth={3} dot={false} activeDot={false} isAnimationActive={false} />
      </LineChart>
    </ResponsiveContainer>
  );
}

function clock(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** The pressure at lock-up and each minute after; with a curve drawn in few points, at the nearest of them. */
function Numbers({ points, found, units, count }: Pick<CurvePictureProps, "points" | "found" | "units"> & { count: number }) {
  const from = found.lockUpAt ?? points[0]?.seconds ?? 0;
  const end = points.at(-1)?.seconds ?? 0;
  const minutes = [0, 1, 2, 3, 4, 5].map((minute) => from + minute * 60).filter((seconds) => seconds <= end);
  return (
    <table className="table" role="table">
      <caption className="pb-2 text-start">{countText(count, "point")} in all</caption>
      <thead role="rowgroup">
        <tr role="row">
          <th scope="col" role="columnheader">
            At
          </th>
          <th scope="col" role="columnheader">
            Pressure
          </th>
        </tr>
      </thead>
      <tbody role="rowgroup">
        {minutes.map((seconds, nth) => (
          <tr key={seconds} role="row">
            <th scope="row" role="rowheader">
              {clock(seconds)}
              {nth === 0 && found.lockUpAt !== null ? ", locked up" : ""}
            </th>
            <td role="cell">{figureText(nearest(points, seconds), "pressure", units)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function nearest(points: readonly PressurePoint[], seconds: number): number {
  return points.reduce((best, one) => (Math.abs(one.seconds - seconds) < Math.abs(best.seconds - seconds) ? one : best)).centibar;
}
