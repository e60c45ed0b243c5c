"use client";
import { CartesianGrid, Line, LineChart, ReferenceArea, ReferenceLine, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { dayText } from "../../../../../format.ts";
import { axis, GRID, INK, LINE, margin } from "../../../trends/chart-parts.tsx";

export type ReadingPoint = { on: string; value: number };

const MOST_STEPS = 5;

/** Round numbers from below the least to above the most, as a gauge's dial has them. */
function dial(least: number, most: number): number[] {
  const rough = Math.max(most - least, 0.1) / MOST_STEPS;
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = ten * [1, 2, 5, 10].find((times) => times * ten >= rough)!;
  const first = Math.max(0, Math.floor(least / step));
  return Array.from({ length: Math.ceil(most / step) - first + 1 }, (_, at) => (first + at) * step);
}

/** One reading of one part over time, within the band of its model; the dashed lines are its limits. */
export default function ReadingsChart({ points, low, high }: { points: readonly ReadingPoint[]; low: number | null; high: number | null }) {
  const values = [...points.map(({ value }) => value), ...(low === null ? [] : [low]), ...(high === null ? [] : [high])];
  const ticks = dial(Math.min(...values), Math.max(...values));
  const domain: [number, number] = [ticks[0]!, ticks.at(-1)!];
  return (
    <ResponsiveContainer width="100%" height="100%">
      <LineChart data={[...points]} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <ReferenceArea y1={low ?? domain[0]} y2={high ?? domain[1]} fill="var(--ready-back)" fillOpacity={0.6} />
        {low === null ? null : <ReferenceLine y={low} stroke={INK} strokeDasharray="8 5" />}
        {high === null ? null : <ReferenceLine y={high} stroke={INK} strokeDasharray="8 5" />}
        <XAxis {...axis} dataKey="on" minTickGap={40} tickFormatter={dayText} />
        <YAxis {...axis} width={64} domain={domain} ticks={ticks} tickFormatter={(value: number) => value.toFixed(2)} />
        <Line dataKey="value" type="linear" stroke={LINE} strokeWidth={2} dot={{ r: 5, fill: LINE }} activeDot={false} isAnimationActive={false} />
      </LineChart>
    </ResponsiveContainer>
  );
}
