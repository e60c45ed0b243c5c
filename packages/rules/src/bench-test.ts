/**
 * Judges a whole bench test. A half-filled form is judged by the same function, so that what is seen
 * while typing is what will be recorded.
 *
 * Answer: "fail" when one reading fails; "not-judged" when a needed reading is missing or cannot be
 * judged; else "pass". Needed (common practice; two supplies: EN 250:2014, 6.7.1):
 *   first stage   intermediate pressure at a high and a low supply, its change between them, creep
 *   second stage  cracking effort, vacuum held, no leak under water
 *   gauge         zero, and its error against a master low, in the middle and high
 * Everything else is judged where it was read, and where it fails the test fails.
 */
import { judgeReading, judgeSupplyChange, masterZone, supplyZone } from "./bench-readings.ts";
import type { BenchPart, BenchReading, Judgement, ReadingName, Zone } from "./bench-readings.ts";
import type { Edges } from "./bench-limits.ts";
import type { Day } from "./calendar.ts";
import type { TestGauge } from "./test-gauges.ts";

export type ItemName = ReadingName | "supply-change";

/** One line of a test: a reading, the change between two, or a reading that is missing. */
export interface BenchItem {
  readonly component: string;
  readonly name: ItemName;
  /** Where on the scale: high or low supply, or the part of a gauge's scale. */
  readonly zone: Zone | null;
  /** The place in the readings given; `null` = reckoned, or missing. */
  readonly reading: number | null;
  readonly value: number | null;
  /** The edges it was judged by. */
  readonly limit: Edges | null;
  /** Without it the test cannot pass. */
  readonly needed: boolean;
  readonly judgement: Judgement;
}

export interface JudgedTest {
  readonly verdict: Judgement["verdict"];
  /** Whether every needed reading is there, judged or not. */
  readonly complete: boolean;
  /** The readings in the order given, then what was reckoned, then what is missing, by component. */
  readonly items: readonly BenchItem[];
}

/** What a component's test cannot do without. */
interface Needed {
  readonly name: ItemName;
  readonly zone: Zone | null;
}

function neededOf({ role, balance }: BenchPart): readonly Needed[] {
  switch (role) {
    case "first-stage": {
      const read: Needed[] = [{ name: "intermediate-pressure", zone: "high" }, { name: "creep", zone: null }, { name: "supply-change", zone: null }];
      // Of an unbalanced piston the low reading is judged by its change, which asks for it.
      return balance === "unbalanced-piston" ? read : [{ name: "intermediate-pressure", zone: "low" }, ...read];
    }
    case "primary":
    case "alternate":
      return [{ name: "cracking-effort", zone: null }, { name: "vacuum-held", zone: null }, { name: "immersion-leak", zone: null }];
    case "gauge":
      return [
        { name: "gauge-zero", zone: null },
        ...(["low", "middle", "high"] as const).map((zone): Needed => ({ name: "gauge-error", zone })),
      ];
    case "inflator-hose":
    case "hose":
    case "transmitter":
      return [];
  }
}

/**
 * Judges a test of the parts of a set on a day.
 *
 * A reading of a component that is not on the bench, or of a kind it cannot have, leaves the test not
 * judged: it was meant for something. A test of nothing is never passed.
 */
export function judgeTest(parts: readonly BenchPart[], readings: readonly BenchReading[], gauges: readonly TestGauge[], on: Day): JudgedTest {
  const read = readings.map((reading, at) => itemOf(reading, at, parts, gauges, on));
  const reckoned = parts.filter(({ role }) => role === "first-stage").map((part) => changeOf(part, readings, gauges, on));
  const items = [...read, ...reckoned];
  const slots = parts.flatMap((part) => neededOf(part).map((needed) => ({ ...needed, component: part.component })));
  const missing = slots.filter((slot) => !items.some((item) => fills(item, slot))).map(missingItem);
  const all = [...items, ...missing].map((item) => ({ ...item, needed: isNeeded(item, items, slots) }));
  return { verdict: verdictOf(all), complete: slots.length > 0 && !all.some((item) => item.needed && isMissing(item)), items: all };
}

function itemOf(reading: BenchReading, at: number, parts: readonly BenchPart[], gauges: readonly TestGauge[], on: Day): BenchItem {
  const { component, name, value } = reading;
  const part = parts.find((one) => one.component === component) ?? null;
  const zone = name === "intermediate-pressure" ? supplyZone(reading.supplyCbar) : name === "gauge-error" ? masterZone(reading.at) : null;
  return { component, name, zone, reading: at, value, needed: false, ...judgeReading(reading, part, gauges, on) };
}

function changeOf(part: BenchPart, readings: readonly BenchReading[], gauges: readonly TestGauge[], on: Day): BenchItem {
  return { component: part.component, name: "supply-change", zone: null, reading: null, needed: false, ...judgeSupplyChange(part, readings, gauges, on) };
}

type Slot = Needed & { readonly component: string };

function fills(item: BenchItem, slot: Slot): boolean {
  return item.component === slot.component && item.name === slot.name && item.zone === slot.zone;
}

function missingItem({ component, name, zone }: Slot): BenchItem {
  return { component, name, zone, reading: null, value: null, limit: null, needed: true, judgement: { verdict: "not-judged", why: ["missing"] } };
}

/** Where one of several readings of the same thing is judged, those that could not be are no longer needed. */
function isNeeded(item: BenchItem, items: readonly BenchItem[], slots: readonly Slot[]): boolean {
  if (item.judgement.verdict === "not-judged" && (item.judgement.why.includes("unknown-part") || item.judgement.why.includes("wrong-part"))) return true;
  const slot = slots.find((one) => fills(item, one));
  if (slot === undefined) return false;
  return item.judgement.verdict !== "not-judged" || !items.some((other) => fills(other, slot) && other.judgement.verdict !== "not-judged");
}

function isMissing({ judgement }: BenchItem): boolean {
  return judgement.verdict === "not-judged" && (judgement.why.includes("missing") || judgement.why.includes("one-supply-only"));
}

function verdictOf(items: readonly BenchItem[]): Judgement["verdict"] {
  if (items.some(({ judgement }) => judgement.verdict === "fail")) return "fail";
  const needed = items.filter((item) => item.needed);
  return needed.length > 0 && needed.every(({ judgement }) => judgement.verdict === "pass") ? "pass" : "not-judged";
}
