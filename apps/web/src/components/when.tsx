import { dayText, daysLeftText, instantText, timeText } from "../format.ts";

/** A day as "25 Nov 2026", readable by machines; with `today`, how far off it is as well. */
export function Day({ day, today }: { day: string; today?: string }) {
  return (
    <time dateTime={day} className="whitespace-nowrap">
      {dayText(day)}
      {today === undefined ? null : <span className="whitespace-normal"> ({daysLeftText(today, day)})</span>}
    </time>
  );
}

/** An instant in the site's zone. `short` leaves the day out. */
export function Instant({ at, timeZone, short = false }: { at: string | Date; timeZone: string; short?: boolean }) {
  const machine = typeof at === "string" ? at : at.toISOString();
  return (
    <time dateTime={machine} className="whitespace-nowrap">
      {short ? timeText(at, timeZone) : instantText(at, timeZone)}
    </time>
  );
}
