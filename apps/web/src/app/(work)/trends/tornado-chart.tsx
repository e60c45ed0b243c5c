"use client";
import { Bar, BarChart, CartesianGrid, ReferenceLine, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { axis, GRID, INK, LINE, margin } from "./chart-parts.tsx";

export type TornadoLine = { name: string; low: number; high: number };

/** How far each figure alone moves the result, widest on top, around the result as it is. */
export default function TornadoChart({ lines, base, money }: { lines: readonly TornadoLine[]; base: number; money: (cents: number) => string }) {
  const bars = lines.map(({ name, low, high }) => ({ name, reach: [Math.min(low, high), Math.max(low, high)] }));
  return (
    <ResponsiveContainer width="100%" height="100%">
      <BarChart data={bars} layout="vertical" margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} horizontal={false} />
        <XAxis {...axis} type="number" domain={["dataMin", "dataMax"]} tickFormatter={money} tickCount={4} />
        <YAxis {...axis} type="category" dataKey="name" width={190} interval={0} />
        <Bar dataKey="reach" fill={LINE} isAnimationActive={false} />
        <ReferenceLine x={base} stroke={INK} strokeWidth={2} strokeDasharray="8 5" />
      </BarChart>
    </ResponsiveContainer>
  );
}
