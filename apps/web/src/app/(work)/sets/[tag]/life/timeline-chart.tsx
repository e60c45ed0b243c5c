"use client";
import { useLayoutEffect, useRef, useState } from "react";
import { dayText } from "../../../../../format.ts";
import type { Picture } from "./life-words.ts";
import { MARK_WORDS, type Mark } from "./life-words.ts";

const ROWS: readonly Mark[] = ["service", "inspection", "test", "release", "swap", "fault", "notice", "wash"];
/** Room for the words of the rows, and for half a shape at the right edge. */
const LEFT = 124;
const RIGHT = 14;
const TOP = 110;
const ROW = 34;
const TIMELINE_HEIGHT = TOP + ROWS.length * ROW + 40;
const WEEK = 7;

/** A shape of its own for each kind of mark, so that none hangs on its colour. */
function Shape({ mark, x, y }: { mark: Mark; x: number; y: number }) {
  const paths: Readonly<Record<Mark, string>> = {
    service: "M-8-8h16v16h-16Z",
    inspection: "M0-9 9 7h-18Z",
    test: "M0-9l9 9-9 9-9-9Z",
    release: "M-8 0l6 6L8-7",
    swap: "M-8-4h16m-4-4 4 4-4 4M8 6H-8",
    fault: "M-7-7 7 7M7-7-7 7",
    notice: "M0-9V3m0 5v1",
    wash: "M0-7V7",
  };
  const isLine = mark === "release" || mark === "swap" || mark === "fault" || mark === "notice" || mark === "wash";
  return <path d={paths[mark]} transform={`translate(${x} ${y})`} fill={isLine ? "none" : "var(--sea)"} stroke={mark === "fault" || mark === "notice" ? "var(--danger)" : "var(--sea)"} strokeWidth={mark === "wash" ? 1.5 : 3} strokeLinecap="round" />;
}

/** Dives by week as bars, and below them a row for each kind of thing done. */
export default function TimelineChart({ timeline, from }: { timeline: Picture["timeline"]; from: string }) {
  // Drawn at the width there is: a picture scaled to a phone would squeeze its words and shapes.
  const frame = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const observer = new ResizeObserver(([entry]) => setWidth(entry?.contentRect.width ?? 0));
    observer.observe(frame.current!);
    return () => observer.disconnect();
  }, []);
  const across = Math.max(1, width - LEFT - RIGHT);

  const start = Date.parse(from);
  const days = Math.max(1, (Date.parse(timeline.until) - start) / 86_400_000);
  const dayOf = (on: string) => (Date.parse(on) - start) / 86_400_000;
  const x = (on: string) => LEFT + (dayOf(on) / days) * across;
  const weeks = new Map<number, number>();
  for (const { on, dives } of timeline.dives) if (on >= from) weeks.set(Math.floor(dayOf(on) / WEEK), (weeks.get(Math.floor(dayOf(on) / WEEK)) ?? 0) + dives);
  const most = Math.max(1, ...weeks.values());
  const bar = Math.max(2, (across / days) * WEEK - 1);
  return (
    <div ref={frame}>
      <svg width={width} height={TIMELINE_HEIGHT} className="block" focusable="false">
        <text x={0} y={60} fill="var(--ink)" fontSize={15}>
          Dives a week
        </text>
        <text x={0} y={82} fill="var(--ink)" fontSize={15}>
          at most {most}
        </text>
        {[...weeks].map(([week, dives]) => (
          <rect key={week} x={LEFT + ((week * WEEK) / days) * across} y={TOP - 10 - (dives / most) * 90} width={bar} height={(dives / most) * 90} fill="var(--sea)" />
        ))}
        {ROWS.map((mark, index) => {
          const y = TOP + index * ROW + ROW / 2;
          return (
            <g key={mark}>
              <line x1={LEFT} x2={width - RIGHT} y1={y} y2={y} stroke="var(--hairline)" />
              <text x={0} y={y + 6} fill="var(--ink)" fontSize={15}>
                {MARK_WORDS[mark]}
              </text>
              {timeline.marks.filter((one) => one.mark === mark && one.on >= from).map(({ on }) => (
                <Shape key={on} mark={mark} x={x(on)} y={y} />
              ))}
            </g>
          );
        })}
        {/* Under its own mark, half of it beside the words: on a phone two days do not stand side by side between the ends. */}
        <text x={LEFT} y={TIMELINE_HEIGHT - 12} fill="var(--ink)" fontSize={15} textAnchor="middle">
          {dayText(from)}
        </text>
        <text x={width - RIGHT} y={TIMELINE_HEIGHT - 12} fill="var(--ink)" fontSize={15} textAnchor="end">
          {dayText(timeline.until)}
        </text>
      </svg>
    </div>
  );
}
