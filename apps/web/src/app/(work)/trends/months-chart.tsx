"use client";
import { CartesianGrid, ComposedChart, Line, ReferenceLine, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { Alarm, axis, GRID, INK, LINE, margin, Opens, SOFT } from "./chart-parts.tsx";
import { monthText } from "../../../format.ts";

export type RatePoint = { month: string; rate: number | null; upper: number | null; lower: number | null; signal: "above" | "below" | null };

type DotProps = { cx?: number; cy?: number; index?: number };

/** Faults per 100 dives month by month, between the limits that chance keeps within; a month without dives is a gap. */
export function RateChart({ points, mean, onPick }: { points: readonly RatePoint[]; mean: number; onPick: (month: string) => void }) {
  const dot = ({ cx, cy, index = -1 }: DotProps) => {
    const point = points[index];
    if (point?.rate == null || cy === undefined) return <g key={index} />;
    return (
      <g key={index}>
        {point.signal === null ? <circle cx={cx} cy={cy} r={5} fill={LINE} /> : <Alarm cx={cx} cy={cy} word={point.signal === "above" ? "high" : "low"} />}
        {point.rate === 0 ? null : <Opens cx={cx} cy={cy} onPick={() => onPick(point.month)} />}
      </g>
    );
  };
  return (
    <ResponsiveContainer width="100%" height="100%">
      <ComposedChart data={[...points]} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} dataKey="month" tickFormatter={monthText} minTickGap={24} />
        <YAxis {...axis} width={72} label={{ value: "per 100 dives", angle: -90, position: "insideLeft", fill: INK, style: { textAnchor: "middle" } }} />
        <ReferenceLine y={mean} stroke={INK} strokeDasharray="8 5" />
        <Line dataKey="upper" type="stepAfter" stroke={SOFT} strokeDasharray="3 4" dot={false} isAnimationActive={false} connectNulls={false} />
        <Line dataKey="lower" type="stepAfter" stroke={SOFT} strokeDasharray="3 4" dot={false} isAnimationActive={false} connectNulls={false} />
        <Line dataKey="rate" type="linear" stroke={LINE} strokeWidth={2} dot={dot} activeDot={false} isAnimationActive={false} connectNulls={false} />
      </ComposedChart>
    </ResponsiveContainer>
  );
}

export type SumPoint = { month: string; sum: number | null; signal: boolean };

/** The running sum of what is more than usual; over its limit, the rate has risen and stayed up. */
export function SumChart({ points, limit }: { points: readonly SumPoint[]; limit: number }) {
  const dot = ({ cx, cy, index = -1 }: DotProps) => (points[index]?.signal && cy !== undefined ? <Alarm key={index} cx={cx} cy={cy} word="risen" /> : <g key={index} />);
  return (
    <ResponsiveContainer width="100%" height="100%">
      <ComposedChart data={[...points]} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} dataKey="month" tickFormatter={monthText} minTickGap={24} />
        <YAxis {...axis} width={56} domain={[0, (most: number) => Math.max(most, limit * 1.3)]} tickFormatter={(sum: number) => sum.toFixed(0)} />
        <ReferenceLine y={limit} stroke={INK} strokeDasharray="8 5" label={{ value: "limit", position: "insideTopLeft", fill: INK }} />
        <Line dataKey="sum" type="linear" stroke={LINE} strokeWidth={3} dot={dot} activeDot={false} isAnimationActive={false} />
      </ComposedChart>
    </ResponsiveContainer>
  );
}
