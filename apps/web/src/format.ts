/**
 * Numbers and days as text: the only place where they become words. Stored whole
 * units go in (hundredths of a bar, tenths of a per cent, minutes); a person's units
 * come out. Nothing here decides anything.
 */
import { fahrenheitFromCelsius, feetFromMetres, inchesOfWaterFromMillibar, psiFromBar } from "@hangrail/rules/plain-units";

export type Units = "metric" | "us";

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** "2026-11-25" as "25 Nov 2026": the month in letters, so that no country reads it another way. */
export function dayText(day: string): string {
  const [year, month, date] = day.split("-").map(Number);
  const name = months[(month ?? 0) - 1];
  if (year === undefined || date === undefined || name === undefined) return day;
  return `${date} ${name} ${year}`;
}

/** "2026-07" as "Jul 2026". */
export function monthText(month: string): string {
  return `${months[Number(month.slice(5, 7)) - 1] ?? ""} ${month.slice(0, 4)}`;
}

/** An instant in the site's own zone, as "25 Nov 2026, 14:05". */
export function instantText(instant: string | Date, timeZone: string): string {
  const parts = partsIn(instant, timeZone);
  return `${Number(parts.day)} ${months[Number(parts.month) - 1]} ${parts.year}, ${parts.hour}:${parts.minute}`;
}

/** The time of day of an instant in the site's own zone, as "14:05". */
export function timeText(instant: string | Date, timeZone: string): string {
  const { hour, minute } = partsIn(instant, timeZone);
  return `${hour}:${minute}`;
}

function partsIn(instant: string | Date, timeZone: string) {
  const format = new Intl.DateTimeFormat("en-GB", { timeZone, year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  const found = Object.fromEntries(format.formatToParts(new Date(instant)).map((part) => [part.type, part.value]));
  return { year: found.year ?? "", month: found.month ?? "", day: found.day ?? "", hour: found.hour ?? "", minute: found.minute ?? "" };
}

/** Whole days from one day to another; negative when `to` is earlier. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86_400_000);
}

/** How far off a day is, in words: "today", "tomorrow", "in 12 days", "3 days ago". */
export function daysLeftText(today: string, day: string): string {
  const days = daysBetween(today, day);
  if (days === 0) return "today";
  if (days === 1) return "tomorrow";
  if (days === -1) return "yesterday";
  return days > 0 ? `in ${countText(days, "day")}` : `${countText(-days, "day")} ago`;
}

/** "1 dive", "12 dives", "1,204 dives". */
export function countText(count: number, noun: string, plural = `${noun}s`): string {
  return `${numberText(count)} ${Math.abs(count) === 1 ? noun : plural}`;
}

/** A whole number with thousands set apart by a thin space, which no country reads as a decimal sign. */
export function numberText(count: number): string {
  return count.toLocaleString("en-GB", { maximumFractionDigits: 0 }).replaceAll(",", "\u202f");
}

export const divesText = (dives: number): string => countText(dives, "dive");

/** Minutes as hours: 90 as "1 h 30 min", 45 as "45 min", 120 as "2 h". */
export function hoursText(minutes: number): string {
  const sign = minutes < 0 ? "−" : "";
  const whole = Math.abs(minutes);
  const hours = Math.floor(whole / 60);
  const rest = whole % 60;
  if (hours === 0) return `${sign}${rest} min`;
  return rest === 0 ? `${sign}${numberText(hours)} h` : `${sign}${numberText(hours)} h ${rest} min`;
}

/** Seconds as minutes and seconds, rounded up: 250 as "4 min 10 s", 59.2 as "1 min". */
export function secondsText(seconds: number): string {
  const whole = Math.max(0, Math.ceil(seconds));
  const rest = whole % 60;
  if (whole < 60) return `${rest} s`;
  return rest === 0 ? hoursText(whole / 60) : `${hoursText(Math.floor(whole / 60))} ${rest} s`;
}

/** A volume: 280 as "280 ml", 9720 as "9.72 litres". */
export function volumeText(millilitres: number): string {
  return millilitres < 1000 ? `${millilitres} ml` : `${millilitres / 1000} ${millilitres === 1000 ? "litre" : "litres"}`;
}

/** The strength of a bath, from tenths of a ppm: "500 ppm (0.05 %)". */
export function strengthText(ppmTenths: number): string {
  return `${numberText(Math.floor(ppmTenths / 10))}${ppmTenths % 10 === 0 ? "" : `.${ppmTenths % 10}`} ppm (${ppmTenths / 100_000} %)`;
}

/**
 * A bench pressure, from hundredths of a bar: "9.50 bar", or "137.8 psi (9.50 bar)".
 * The judged figure is always in sight: a rounded psi could read as over a limit it is not.
 */
export function pressureText(centibar: number, units: Units): string {
  const bar = `${(centibar / 100).toFixed(2)} bar`;
  return units === "metric" ? bar : `${psiFromBar(centibar / 100).toFixed(1)} psi (${bar})`;
}

/** A cylinder's working pressure, from hundredths of a bar: "232 bar" or "3365 psi (232 bar)". */
export function cylinderText(centibar: number, units: Units): string {
  const bar = `${trimmed(centibar, 100)} bar`;
  return units === "metric" ? bar : `${Math.round(psiFromBar(centibar / 100))} psi (${bar})`;
}

/** A breathing effort, from hundredths of a millibar: "3.11 mbar" or "1.25 inH2O (3.11 mbar)". */
export function effortText(centimillibar: number, units: Units): string {
  const metric = `${(centimillibar / 100).toFixed(2)} mbar`;
  return units === "metric" ? metric : `${inchesOfWaterFromMillibar(centimillibar / 100).toFixed(2)} inH2O (${metric})`;
}

/** Oxygen, from tenths of a per cent: 320 as "32 %", 325 as "32.5 %". */
export function oxygenText(tenths: number): string {
  return `${trimmed(tenths, 10)} %`;
}

/** Water temperature, from tenths of a degree: "8 °C" or "46 °F (8 °C)". */
export function temperatureText(tenths: number, units: Units): string {
  const celsius = `${trimmed(tenths, 10)} °C`;
  return units === "metric" ? celsius : `${Math.round(fahrenheitFromCelsius(tenths / 10))} °F (${celsius})`;
}

/** Depth, from tenths of a metre: "30 m" or "98 ft (30 m)". Feet are rounded down. */
export function depthText(decimetres: number, units: Units): string {
  const metres = `${trimmed(decimetres, 10)} m`;
  return units === "metric" ? metres : `${Math.floor(feetFromMetres(decimetres / 10))} ft (${metres})`;
}

/** A whole number of small parts as a decimal without needless noughts: 325 of ten as "32.5". */
function trimmed(small: number, parts: 10 | 100): string {
  return String(small / parts);
}

/** "a", "a and b", "a, b and c". */
export function listText(words: readonly string[]): string {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}
