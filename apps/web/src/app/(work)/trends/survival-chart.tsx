"use client";
import { CartesianGrid, Legend, Line, LineChart, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { axis, DASHES, GRID, INK, LINE, margin } from "./chart-parts.tsx";

export type SurvivalLine = { letter: string; name: string; points: readonly { at: number; share: number }[] };

/** The share of parts still without a fault, against what they have lived through since their service. Lines differ by their dashes, and each ends in its letter. */
export default function SurvivalChart({ lines, unit }: { lines: readonly SurvivalLine[]; unit: string }) {
  const longest = Math.max(1, ...lines.map((line) => line.points.at(-1)?.at ?? 0));
  const lift = lifts(lines, longest);
  return (
    <ResponsiveContainer width="100%" height="100%">
      <LineChart margin={{ ...margin, right: 40, bottom: 36 }} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} type="number" dataKey="at" domain={[0, longest]} allowDuplicatedCategory={false} label={{ value: `${unit} since the service`, position: "insideBottom", offset: -14, fill: INK }} />
        <YAxis {...axis} width={60} domain={[0, 100]} tickFormatter={(share: number) => `${share} %`} />
        <Legend verticalAlign="top" align="left" wrapperStyle={{ color: INK, paddingBottom: 8 }} formatter={(name: string) => <span className="text-ink">{name}</span>} iconType="plainline" />
        {lines.map((line, index) => (
          <Line key={line.letter} name={`${line.letter}: ${line.name}`} data={[...line.points]} dataKey="share" type="stepAfter" stroke={index % 2 === 0 ? LINE : INK} strokeWidth={3} strokeDasharray={DASHES[index % DASHES.length] ?? "0"} dot={endOf(line, lift[index] ?? 0)} isAnimationActive={false} />
        ))}
      </LineChart>
    </ResponsiveContainer>
  );
}

type DotProps = { cx?: number; cy?: number; index?: number };

/** The letter right of the last point, and nothing at the others. */
function endOf({ letter, points }: SurvivalLine, lift: number) {
  return ({ cx = 0, cy = 0, index = -1 }: DotProps) =>
    index === points.length - 1 ? (
      <text key={index} x={cx + 6 + lift} y={cy + 5} fill={INK} fontSize={15} fontWeight={700}>
        {letter}
      </text>
    ) : (
      <g key={index} />
    );
}

/** Lines that end side by side have their letters set one after the other. */
function lifts(lines: readonly SurvivalLine[], longest: number): number[] {
  const ends = lines.map(({ points }) => points.at(-1) ?? { at: 0, share: 100 });
  return ends.map((end, index) => 20 * ends.slice(0, index).filter((other) => Math.abs(other.at - end.at) < longest / 20 && Math.abs(other.share - end.share) < 6).length);
}
