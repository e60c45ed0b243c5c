"use client";
import { Bar, CartesianGrid, ComposedChart, LabelList, Line, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { axis, GRID, INK, LINE, margin, SOFT } from "./chart-parts.tsx";

export type CodeBar = { code: string; count: number; cumulative: number };

/** Codes by how often they came, and the share of all faults that they and those before them make up. */
export default function ParetoChart({ bars }: { bars: readonly CodeBar[] }) {
  return (
    <ResponsiveContainer width="100%" height="100%">
      <ComposedChart data={[...bars]} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} dataKey="code" interval={0} angle={bars.length > 8 ? -60 : 0} textAnchor={bars.length > 8 ? "end" : "middle"} height={bars.length > 8 ? 64 : 32} />
        <YAxis {...axis} yAxisId="count" width={48} allowDecimals={false} />
        <YAxis {...axis} yAxisId="share" orientation="right" width={60} domain={[0, 100]} tickFormatter={(share: number) => `${share} %`} />
        <Bar yAxisId="count" dataKey="count" fill={LINE} isAnimationActive={false}>
          <LabelList dataKey="count" position="top" fill={INK} />
        </Bar>
        <Line yAxisId="share" dataKey="cumulative" stroke={SOFT} strokeWidth={2} strokeDasharray="6 4" dot={{ r: 4, fill: SOFT }} isAnimationActive={false} />
      </ComposedChart>
    </ResponsiveContainer>
  );
}
