"use client";
import { drawnPoints } from "@hangrail/rules/curve-readings";
import type { PressurePoint } from "@hangrail/rules/pressure-column";
import type { FoundCurve, IncompleteCurve } from "@hangrail/rules/pressure-curve";
import { psiFromBar } from "@hangrail/rules/plain-units";
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
          {says} {limits} {found.lockUp === null ? "" : "The scale begins near the band, so that a small creep is seen."}
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
  const { least, most } = scaleOf(points, found, band);
  const lockUpAt = found.lockUpAt;
  const start = points[0]?.seconds ?? 0;
  const end = points.at(-1)?.seconds ?? 0;
  const step = end - start > 1_200 ? 300 : 60;
  const ticks = Array.from({ length: Math.min(60, Math.floor((end - start) / step) + 1) }, (_, nth) => start + nth * step);
  return (
    <ResponsiveContainer width="100%" height="100%">
      <LineChart data={rows} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} />
        <XAxis {...axis} type="number" dataKey="seconds" domain={[start, end]} ticks={ticks} tickFormatter={clock} minTickGap={24} label={{ value: "minutes : seconds", position: "insideBottom", offset: -18, fill: INK }} />
        <YAxis {...axis} type="number" width={64} domain={[shown(least), shown(most)]} ticks={valueTicks(least, most).map(shown)} allowDataOverflow tickFormatter={(value: number) => value.toFixed(units === "metric" ? 1 : 0)} interval={0} label={{ value: pressureUnit(units), angle: -90, position: "insideLeft", fill: INK }} />
        {band === null || (band.low === null && band.high === null) ? null : (
          <ReferenceArea y1={shown(Math.max(least, band.low ?? least))} y2={shown(Math.min(most, band.high ?? most))} fill={LINE} fillOpacity={0.16} stroke={SOFT} strokeDasharray="3 4" />
        )}
        {lockUpAt === null ? null : <ReferenceLine x={lockUpAt} stroke={INK} strokeDasharray="8 5" label={{ value: "locked up", position: "insideTopLeft", fill: INK }} />}
        {lockUpAt === null || lockUpAt + FIVE_MINUTES > end ? null : <ReferenceLine x={lockUpAt + FIVE_MINUTES} stroke={INK} strokeDasharray="8 5" label={{ value: "5 minutes", position: "insideBottomRight", fill: INK }} />}
        <Line dataKey="pressure" type="linear" stroke={LINE} strokeWidth={3} dot={false} activeDot={false} isAnimationActive={false} />
      </LineChart>
    </ResponsiveContainer>
  );
}

/**
 * From a bar below to a bar above the rest and the band, in whole bars: a creep of a tenth has to be seen,
 * so the rise to lock-up runs in from below. Without a rest, the whole curve.
 */
function scaleOf(points: readonly PressurePoint[], found: FoundCurve | IncompleteCurve, band: Band): { least: number; most: number } {
  const highest = points.reduce((most, { centibar }) => Math.max(most, centibar), 0);
  const edges = [found.lockUp, band?.low ?? null, band?.high ?? null].filter((edge) => edge !== null);
  const least = found.lockUp === null ? 0 : Math.max(0, Math.floor((Math.min(...edges) - 100) / 100) * 100);
  return { least, most: Math.ceil((Math.max(highest, ...edges) + 50) / 100) * 100 };
}

/** At most nine of them, in steps of half a bar and more. */
function valueTicks(least: number, most: number): readonly number[] {
  const step = [50, 100, 200, 500, 1_000, 2_000, 5_000, 20_000].find((one) => (most - least) / one <= 8) ?? most;
  return Array.from({ length: Math.floor((most - least) / step) + 1 }, (_, nth) => least + nth * step);
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
      <thead role="rowgroup" className="as-cards:hidden">
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
              <span className="cell-name" aria-hidden="true">
                At
              </span>
              <span>
                {clock(seconds)}
                {nth === 0 && found.lockUpAt !== null ? ", locked up" : ""}
              </span>
            </th>
            <td role="cell">
              <span className="cell-name" aria-hidden="true">
                Pressure
              </span>
              <span>{figureText(nearest(points, seconds), "pressure", units)}</span>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function nearest(points: readonly PressurePoint[], seconds: number): number {
  return points.reduce((best, one) => (Math.abs(one.seconds - seconds) < Math.abs(best.seconds - seconds) ? one : best)).centibar;
}
