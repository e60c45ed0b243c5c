"use client";
import { CartesianGrid, Legend, Line, LineChart, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { axis, DASHES, GRID, INK, LINE, margin } from "./chart-parts.tsx";

export type SurvivalLine = { name: string; points: readonly { at: number; share: number }[] };

/** The share of parts still without a fault, against what they have lived through since their service. Lines differ by their dashes. */
export default function SurvivalChart({ lines, unit }: { lines: readonly SurvivalLine[]; unit: string }) {
  const longest = Math.max(1, ...lines.map((line) => line.points.at(-1)?.at ?? 0));
  return (
    <ResponsiveContainer width="100%" height="100%">
      <LineChart margin={{ ...margin, bottom: 36 }} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} type="number" dataKey="at" domain={[0, longest]} allowDuplicatedCategory={false} label={{ value: `${unit} since the service`, position: "insideBottom", offset: -14, fill: INK }} />
        <YAxis {...axis} width={60} domain={[0, 100]} tickFormatter={(share: number) => `${share} %`} />
        <Legend verticalAlign="top" align="left" wrapperStyle={{ color: INK, paddingBottom: 8 }} formatter={(name: string) => <span className="text-ink">{name}</span>} iconType="plainline" />
        {lines.map((line, index) => (
          <Line key={line.name} name={line.name} data={[...line.points]} dataKey="share" type="stepAfter" stroke={index % 2 === 0 ? LINE : INK} strokeWidth={3} strokeDasharray={DASHES[index % DASHES.length] ?? "0"} dot={false} isAnimationActive={false} />
        ))}
      </LineChart>
    </ResponsiveContainer>
  );
}
