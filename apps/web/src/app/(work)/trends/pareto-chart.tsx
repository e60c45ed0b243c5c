"use client";
import { Bar, CartesianGrid, ComposedChart, LabelList, Line, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { axis, GRID, INK, LINE, margin, REST } from "./chart-parts.tsx";

export type CodeBar = { code: string; count: number; cumulative: number };

/** Codes by how often they came, and the share of all faults that they and those before them make up. */
export default function ParetoChart({ bars, onPick }: { bars: readonly CodeBar[]; onPick: (code: string) => void }) {
  return (
    <ResponsiveContainer width="100%" height="100%">
      <ComposedChart data={[...bars]} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} dataKey="code" interval={0} angle={bars.length > 8 ? -60 : 0} textAnchor={bars.length > 8 ? "end" : "middle"} height={bars.length > 8 ? 64 : 32} />
        <YAxis {...axis} yAxisId="count" width={48} allowDecimals={false} />
        <YAxis {...axis} yAxisId="share" orientation="right" width={60} domain={[0, 100]} tickFormatter={(share: number) => `${share} %`} />
        <Bar yAxisId="count" dataKey="count" fill={REST} stroke={LINE} strokeWidth={2} isAnimationActive={false} cursor="pointer" onClick={(_, index) => onPick(bars[index]?.code ?? "")}>
          <LabelList dataKey="count" position="insideBottom" fill={INK} fontWeight={700} />
        </Bar>
        <Line yAxisId="share" dataKey="cumulative" stroke={INK} strokeWidth={2} strokeDasharray="6 4" dot={{ r: 4, fill: INK, strokeDasharray: "0" }} isAnimationActive={false} />
      </ComposedChart>
    </ResponsiveContainer>
  );
}
