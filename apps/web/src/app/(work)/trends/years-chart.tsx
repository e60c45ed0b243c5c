"use client";
import { CartesianGrid, Line, LineChart, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { axis, Best, GRID, INK, LINE, margin } from "./chart-parts.tsx";

type Point = { year: number; amount: number };
type DotProps = { cx?: number; cy?: number; index?: number };

/** The cost a year against the years one is kept; the cheapest is larger, of another shape, and named. */
export default function YearsChart({ points, least, currency }: { points: readonly Point[]; least: number; currency: string }) {
  const dot = ({ cx, cy, index = -1 }: DotProps) => (points[index]?.year === least ? <Best key={index} cx={cx} cy={cy} word="least" /> : <circle key={index} cx={cx} cy={cy} r={5} fill={LINE} />);
  return (
    <ResponsiveContainer width="100%" height="100%">
      <LineChart data={[...points]} margin={{ ...margin, top: 30 }} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} dataKey="year" padding={{ left: 20, right: 20 }} label={{ value: "years it is kept", position: "insideBottom", offset: -16, fill: INK }} />
        <YAxis {...axis} width={72} domain={[0, "auto"]} label={{ value: `${currency} a year`, angle: -90, position: "insideLeft", fill: INK, style: { textAnchor: "middle" } }} />
        <Line dataKey="amount" type="linear" stroke={LINE} strokeWidth={2} dot={dot} activeDot={false} isAnimationActive={false} />
      </LineChart>
    </ResponsiveContainer>
  );
}
