import { dayOf, type Day, type Instant } from "@hangrail/rules/calendar";

const MINUTE = 60_000;
const offsets = new Map<string, number>();

/**
 * The instant at which the clocks of a zone show a time of day ("14:05"). Told by the zone's offset at
 * noon of that day: right from a few hours after midnight on, when any change of summer time is over.
 */
export function instantAt(on: Day, time: string, timeZone: string): Instant {
  const [hours, minutes] = time.split(":").map(Number) as [number, number];
  return Date.parse(`${on}T00:00:00Z`) + (hours * 60 + minutes - offsetAt(on, timeZone)) * MINUTE;
}

/** Minutes ahead of UTC at noon of the day. */
function offsetAt(on: Day, timeZone: string): number {
  const key = `${timeZone} ${on}`;
  const known = offsets.get(key);
  if (known !== undefined) return known;
  const noon = Date.parse(`${on}T12:00:00Z`);
  const parts = new Intl.DateTimeFormat("en-GB", { timeZone, hour: "2-digit", minute: "2-digit", hourCycle: "h23" }).formatToParts(noon);
  const shown = (type: string): number => Number(parts.find((part) => part.type === type)?.value);
  const days = (Date.parse(dayOf(noon, timeZone)) - Date.parse(on)) / (24 * 60 * MINUTE);
  const offset = days * 24 * 60 + shown("hour") * 60 + shown("minute") - 12 * 60;
  offsets.set(key, offset);
  return offset;
}
