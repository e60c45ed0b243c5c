"use client";
import { Area, Bar, CartesianGrid, ComposedChart, Line, ResponsiveContainer, XAxis, YAxis } from "recharts";
import { Alarm, axis, GRID, INK, LINE, margin, SHEET, SOFT } from "../trends/chart-parts.tsx";
import type { ReactNode } from "react";
import type { CoverPoint } from "./cover-words.ts";
import { weekNumber } from "./weeks.ts";

type DotProps = { cx?: number; cy?: number; index?: number };
const weekTick = (monday: string) => String(weekNumber(monday));
const weekLabel = { value: "Week", position: "insideBottom", offset: -16, fill: INK } as const;

/** The library gives layers of its drawing listeners, and the browser then stops at each of them by Tab; nothing in it is for keys. */
function Drawing({ children }: { children: ReactNode }) {
  return (
    <div inert className="h-full">
      <ResponsiveContainer width="100%" height="100%">
        {children}
      </ResponsiveContainer>
    </div>
  );
}

/** Booked sets as an area in steps; over it the sets able to go out, with the plan and, dotted, without one. Short weeks have a mark and a number. */
export function CoverChart({ points }: { points: readonly CoverPoint[] }) {
  const dot = ({ cx, cy, index = -1 }: DotProps) => {
    const short = points[index]?.short ?? 0;
    return short > 0 && cy !== undefined ? <Alarm key={index} cx={cx} cy={cy} word={`${short} short`} /> : <g key={index} />;
  };
  return (
    <Drawing>
      <ComposedChart data={[...points]} margin={{ ...margin, top: 36 }} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} dataKey="week" tickFormatter={weekTick} minTickGap={12} label={weekLabel} />
        <YAxis {...axis} width={44} allowDecimals={false} />
        <Area dataKey="booked" type="step" fill={GRID} stroke={SOFT} strokeWidth={2} fillOpacity={1} dot={dot} activeDot={false} isAnimationActive={false} />
        <Line dataKey="before" type="step" stroke={SOFT} strokeWidth={2} strokeDasharray="3 5" dot={false} activeDot={false} isAnimationActive={false} />
        <Line dataKey="able" type="step" stroke={LINE} strokeWidth={4} dot={false} activeDot={false} isAnimationActive={false} />
      </ComposedChart>
    </Drawing>
  );
}

export type LoadPoint = { week: string; hours: number; room: number };

/** Hours of bench work as bars, the hours there are as a line in steps. */
export function LoadChart({ points }: { points: readonly LoadPoint[] }) {
  return (
    <Drawing>
      <ComposedChart data={[...points]} margin={margin} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} vertical={false} />
        <XAxis {...axis} dataKey="week" tickFormatter={weekTick} minTickGap={12} label={weekLabel} />
        <YAxis {...axis} width={44} label={{ value: "hours", angle: -90, position: "insideLeft", fill: INK }} />
        <Bar dataKey="hours" fill={LINE} stroke={SHEET} isAnimationActive={false} />
        <Line dataKey="room" type="step" stroke={INK} strokeWidth={3} strokeDasharray="8 5" dot={false} activeDot={false} isAnimationActive={false} />
      </ComposedChart>
    </Drawing>
  );
}

export type HeldPoint = { name: string; days: number };

/** One bar each: how many days a way of forecasting was off, weighed; the shorter the better. */
export function HeldChart({ points }: { points: readonly HeldPoint[] }) {
  return (
    <Drawing>
      <ComposedChart layout="vertical" data={[...points]} margin={{ ...margin, right: 40 }} accessibilityLayer={false}>
        <CartesianGrid stroke={GRID} horizontal={false} />
        <XAxis {...axis} type="number" tickCount={4} label={{ value: "days", position: "insideBottom", offset: -16, fill: INK }} />
        <YAxis {...axis} type="category" dataKey="name" width={150} interval={0} />
        <Bar dataKey="days" fill={LINE} isAnimationActive={false} label={{ position: "right", fill: INK, formatter: (days: unknown) => Number(days).toFixed(1) }} />
      </ComposedChart>
    </Drawing>
  );
}
