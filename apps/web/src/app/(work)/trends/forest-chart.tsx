"use client";
import { CartesianGrid, ErrorBar, ReferenceLine, ResponsiveContainer, Scatter, ScatterChart, XAxis, YAxis } from "recharts";
import { axis, Diamond, GRID, INK, LINE, margin, Opens, Ring } from "./chart-parts.tsx";

export type ForestLine = {
  name: string;
  exact: { rate: number; lower: number; upper: number } | null;
  shrunken: { rate: number; lower: number; upper: number } | null;
  verdict: string;
  faults: number;
};

/** One row a group: a ring with the exact interval, a diamond drawn towards the fleet, and the fleet's own line. */
export default function ForestChart({ lines, fleet, onPick }: { lines: readonly ForestLine[]; fleet: number | null; onPick: (line: number) => void }) {
  const place = (index: number) => lines.length - index;
  const dots = (which: "exact" | "shrunken", lift: number) =>
    lines.flatMap((line, index) => {
      const at = line[which];
      return at === null ? [] : [{ rate: at.rate, row: place(index) + lift, reach: [at.rate - at.lower, at.upper - at.rate], line: index }];
    });
  const ring = ({ cx, cy, payload }: { cx?: number | undefined; cy?: number | undefined; payload?: { line: number } }) => (
    <g>
      <Ring cx={cx} cy={cy} />
      {payload === undefined || lines[payload.line]?.faults === 0 ? null : <Opens cx={cx} cy={cy} onPick={() => onPick(payload.line)} />}
    </g>
  );
  const most = Math.max(0.01, ...lines.flatMap((line) => [line.exact?.upper ?? 0, line.shrunken?.upper ?? 0]));
  return (
    <ResponsiveContainer width="100%" height="100%">
      <ScatterChart margin={{ ...margin, top: 30, left: 0 }} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} horizontal={false} />
        <XAxis {...axis} type="number" dataKey="rate" domain={[0, Number((most * 1.05).toPrecision(2))]} tickCount={4} tickFormatter={(rate: number) => String(Number(rate.toPrecision(2)))} label={{ value: "Faults per 100 dives", position: "insideBottom", offset: -16, fill: INK }} />
        <YAxis {...axis} type="number" dataKey="row" domain={[0.4, lines.length + 0.6]} ticks={lines.map((_, index) => place(index))} tickFormatter={(row: number) => lines[lines.length - row]?.name ?? ""} width={150} interval={0} />
        {fleet === null ? null : <ReferenceLine x={fleet} stroke={INK} strokeDasharray="8 5" label={{ value: "all", position: "top", fill: INK }} />}
        <Scatter data={dots("exact", 0.14)} shape={ring} isAnimationActive={false}>
          <ErrorBar dataKey="reach" direction="x" width={6} stroke={INK} strokeWidth={2} />
        </Scatter>
        <Scatter data={dots("shrunken", -0.14)} shape={<Diamond />} isAnimationActive={false}>
          <ErrorBar dataKey="reach" direction="x" width={0} stroke={LINE} strokeWidth={4} />
        </Scatter>
      </ScatterChart>
    </ResponsiveContainer>
  );
}
