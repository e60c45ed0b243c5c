"use client";
import type { PlannedSet } from "@hangrail/api/plan-view";
import type { SetReason } from "@hangrail/rules/plan-reasons";
import type { KeyboardEvent } from "react";
import { Button } from "../../../components/button.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Plate } from "../../../components/plate.tsx";
import { awayOf, bandOf, shareOf } from "./place.ts";
import { doubtText, dueText, reasonText, type PlanNames } from "./plan-words.ts";
import { OtherWeeks } from "./other-weeks.tsx";
import { weekAndDay, weekNumber } from "./weeks.ts";
import type { Lock } from "./plan-address.ts";

type SetRowProps = {
  set: PlannedSet;
  names: PlanNames;
  week: number | null;
  reason: SetReason["reason"] | null;
  lock: Lock | null;
  /** Weeks with bookings that have no set. */
  shortWeeks: readonly number[];
  /** What the last move of this set costs; null where it was not moved last. */
  price: string | null;
  /** Null: it is only shown. */
  moving: Moving | null;
};

export interface Moving {
  readonly onMove: (set: string, week: number | null) => void;
  readonly onFix: (set: string, fixed: boolean) => void;
}

/** One set over the weeks: when it falls due, when it goes, why then, and ways to move it. */
export function SetRow({ set, names, week, reason, lock, shortWeeks, price, moving }: SetRowProps) {
  const weeks = names.mondays.length;
  const isFixed = lock !== null;
  const doubt = doubtText(set.doubt);
  return (
    <li className="grid gap-x-6 gap-y-1 border-t-2 border-hairline py-4 lg:grid-cols-[11rem_minmax(0,1fr)]" aria-label={`Set ${set.tag}`}>
      <div className="flex flex-wrap items-center gap-x-4 gap-y-1 lg:block">
        <Plate tag={set.tag} to={`/sets/${set.tag}`} />
        <p className="font-semibold lg:mt-2">{placeText(week, names)}</p>
        {isFixed ? (
          <p className="flex items-center gap-2">
            <Icon name="lock" size={20} /> Fixed
          </p>
        ) : null}
      </div>
      <div className="min-w-0">
        <WeekBar set={set} names={names} week={week} isFixed={isFixed} shortWeeks={shortWeeks} moving={moving} />
        <div className="mt-1 flex flex-wrap justify-between gap-x-6 gap-y-3">
          <div className="min-w-0 flex-1 basis-72">
            {price === null ? null : <p className="font-semibold">{price}</p>}
            <p className="max-w-prose">{reason === null ? null : reasonText(week, reason, names)}</p>
            <p className="max-w-prose text-soft">
              {dueText(set.due)} {doubt}
            </p>
          </div>
          {moving === null ? null : <Buttons set={set} week={week} weeks={weeks} isFixed={isFixed} moving={moving} />}
        </div>
        {moving === null ? null : <OtherWeeks set={set} names={names} week={week} onMove={moving.onMove} />}
      </div>
    </li>
  );
}

function Buttons({ set, week, weeks, isFixed, moving: { onMove, onFix } }: { set: PlannedSet; week: number | null; weeks: number; isFixed: boolean; moving: Moving }) {
  return (
    <div className="screen-only flex flex-wrap content-start gap-3">
      <Button aria-label={`${set.tag} a week earlier`} refusedBecause={week === 0 ? "This is the first week." : null} onClick={() => onMove(set.id, week === null ? weeks - 1 : week - 1)}>
        Earlier
      </Button>
      <Button aria-label={`${set.tag} a week later`} refusedBecause={week === null ? "It is out of these weeks already." : null} onClick={() => onMove(set.id, week === null || week === weeks - 1 ? null : week + 1)}>
        Later
      </Button>
      <Button aria-label={isFixed ? `Free ${set.tag}` : `Fix ${set.tag}`} onClick={() => onFix(set.id, !isFixed)}>
        <Icon name="lock" size={20} /> {isFixed ? "Free" : "Fix"}
      </Button>
    </div>
  );
}

/** "Week 32 (9 Aug)", "Not in these weeks". */
function placeText(week: number | null, { mondays }: PlanNames): string {
  const text = week === null ? "not in these weeks" : weekAndDay(mondays[week] ?? "");
  return text.charAt(0).toUpperCase() + text.slice(1);
}

type WeekBarProps = Pick<SetRowProps, "set" | "names" | "week" | "shortWeeks" | "moving"> & { isFixed: boolean };

/** Arrow keys move the set, Home and End to the first week and out of these weeks, L fixes it where it is. */
function WeekBar({ set, names, week, isFixed, shortWeeks, moving }: WeekBarProps) {
  const { mondays } = names;
  const weeks = mondays.length;
  const band = bandOf(set.due, mondays[0] ?? "", weeks);
  const away = awayOf(week, set.awayWeeks, weeks);
  const span = (from: number, until: number) => ({ left: `${shareOf(from, weeks)}%`, width: `${shareOf(until - from, weeks)}%` });
  const press = (event: KeyboardEvent) => {
    if (moving === null || event.key.toLowerCase() !== "l" || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    moving.onFix(set.id, !isFixed);
  };
  return (
    <div className="week-bar">
      <div className="drawn" aria-hidden="true">
        <div className="rail" />
        {shortWeeks.map((at) => (
          <div key={at} className="short-week" style={span(at - 0.5, at + 0.5)} />
        ))}
        {band === null ? null : <div className="due-band" data-goes-on={band.goesOn || undefined} style={span(band.from, band.until)} />}
        {band?.middle == null ? null : <div className="due-middle" style={{ left: `${shareOf(band.middle, weeks)}%` }} />}
        {[...set.out, ...set.onBench].map((at) => (
          <div key={at} className="taken" style={span(at - 0.5, at + 0.5)} />
        ))}
        {away === null ? null : <div className="away" style={span(away.from, away.until)} />}
        <div className="chosen" data-fixed={isFixed || undefined} data-none={week === null || undefined} style={{ left: `${shareOf(week ?? weeks, weeks)}%` }}>
          {week === null ? "—" : weekNumber(mondays[week] ?? "")}
        </div>
      </div>
      {moving === null ? null : (
        <input
          type="range"
          min={0}
          max={weeks}
          step={1}
          value={week ?? weeks}
          aria-label={`Week of ${set.tag}`}
          aria-valuetext={`${placeText(week, names)}${isFixed ? ", fixed" : ""}`}
          aria-keyshortcuts="L"
          onKeyDown={press}
          onChange={(event) => moving.onMove(set.id, Number(event.target.value) === weeks ? null : Number(event.target.value))}
        />
      )}
    </div>
  );
}
