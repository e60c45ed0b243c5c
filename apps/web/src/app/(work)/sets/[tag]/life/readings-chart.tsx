"use client";
import { CartesianGrid, Line, LineChart, ReferenceArea, ReferenceLine, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { axis, GRID, INK, LINE, margin } from "../../../trends/chart-parts.tsx";

export type ReadingPoint = { on: string; value: number };

/** One reading of one part over time, within the band of its model; the dashed lines are its limits. */
export default function ReadingsChart({ points, low, high }: { points: readonly ReadingPoint[]; low: number | null; high: number | null }) {
  const values = [...points.map(({ value }) => value), ...(low === null ? [] : [low]), ...(high === null ? [] : [high])];
  const room = Math.max(0.05, (Math.max(...values) - Math.min(...values)) * 0.1);
  const domain: [number, number] = [Math.max(0, Math.min(...values) - room), Math.max(...values) + room];
  return (
    <ResponsiveContainer width="100%" height="100%">
      <LineChart data={[...points]} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <ReferenceArea y1={low ?? domain[0]} y2={high ?? domain[1]} fill="var(--ready-back)" fillOpacity={0.6} />
        {low === null ? null : <ReferenceLine y={low} stroke={INK} strokeDasharray="8 5" />}
        {high === null ? null : <ReferenceLine y={high} stroke={INK} strokeDasharray="8 5" />}
        <XAxis {...axis} dataKey="on" minTickGap={40} />
        <YAxis {...axis} width={64} domain={domain} tickFormatter={(value: number) => value.toFixed(2)} />
        <Line dataKey="value" type="linear" stroke={LINE} strokeWidth={2} dot={{ r: 5, fill: LINE }} activeDot={false} isAnimationActive={false} />
      </LineChart>
    </ResponsiveContainer>
  );
}
