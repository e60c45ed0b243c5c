/**
 * Whether the parts of a set go together on its first stage: ports, threads, pairings and places.
 *
 * A low-pressure hose on a high-pressure port bursts (fault HO-07); the ports differ in size, and
 * adaptors and the wrong plugs have defeated that before. So threads are compared, and no adaptor is
 * reckoned with. What nobody has recorded is not judged, never fine.
 *
 * Threads: 3/8"-24 UNF and 1/2"-20 UNF for low pressure, 7/16"-20 UNF for high (common practice).
 */
import { judgeCompleteness, portOf } from "./assembly.ts";
import type { NeededPart } from "./assembly.ts";
import type { Balance } from "./bench-readings.ts";
import type { Minutes } from "./measures.ts";
import type { Role } from "./models.ts";

export const PLUGS = ["lp-3/8", "lp-1/2", "hp-7/16"] as const;
export type Plug = (typeof PLUGS)[number];

/** How a model is built, as accepted from its manual. `null` = not recorded, or not of its kind. */
export interface ModelBuild {
  readonly balance: Balance | null;
  readonly hpPorts: number | null;
  /** Ports for 3/8" alone. */
  readonly lpPorts: number | null;
  /** Ports for 1/2", beside the others. */
  readonly lpHalfInchPorts: number | null;
  /** The thread that goes into the first stage; `null` also for a part that hangs on a hose recorded by itself. */
  readonly plugsInto: Plug | null;
  readonly serviceMinutes: Minutes | null;
  readonly inspectionMinutes: Minutes | null;
}

export interface AssembledPart {
  readonly component: string;
  readonly role: Role;
  /** `null` = nobody has recorded how its model is built. */
  readonly build: ModelBuild | null;
  /** Second stages: whether its model is approved on this first stage; `null` = not recorded. */
  readonly pairingApproved: boolean | null;
}

export type AssemblyFault =
  /** A thread for high pressure on a part that takes low, or the other way round. */
  | { readonly code: "low-pressure-part-on-high-port" | "high-pressure-part-on-low-port"; readonly component: string; readonly plug: Plug }
  | { readonly code: "too-few-ports"; readonly plug: Plug; readonly used: number; readonly there: number }
  | { readonly code: "not-paired"; readonly component: string }
  | { readonly code: "same-component-twice"; readonly component: string }
  | { readonly code: "place-taken-twice"; readonly role: Role; readonly components: readonly string[] }
  | { readonly code: "part-missing"; readonly part: NeededPart };

export type AssemblyDoubt =
  | { readonly code: "build-unknown" | "plug-unknown" | "pairing-unknown"; readonly component: string }
  | { readonly code: "ports-unknown"; readonly component: string; readonly plug: Plug };

export interface JudgedAssembly {
  readonly verdict: "fits" | "refused" | "not-judged";
  readonly faults: readonly AssemblyFault[];
  readonly doubts: readonly AssemblyDoubt[];
}

/**
 * Judges a set as it is put together.
 *
 * A part with a plug recorded takes a port of that thread. A part without one hangs on a hose recorded
 * by itself, where the set has one of its side to spare; where it has none, nobody knows which port it
 * takes. Hoses beyond those take a port each.
 */
export function judgeAssembly(parts: readonly AssembledPart[]): JudgedAssembly {
  const faults: AssemblyFault[] = [...placeFaults(parts), ...pairingFaults(parts)];
  const doubts: AssemblyDoubt[] = parts.flatMap((part) => pairingDoubt(part));
  const plugs = plugsOf(parts);
  faults.push(...plugs.faults);
  doubts.push(...plugs.doubts);
  const ports = judgePorts(parts, plugs.used);
  faults.push(...ports.faults);
  doubts.push(...ports.doubts);
  const verdict = faults.length > 0 ? "refused" : doubts.length > 0 ? "not-judged" : "fits";
  return { verdict, faults, doubts };
}

function placeFaults(parts: readonly AssembledPart[]): readonly AssemblyFault[] {
  const faults: AssemblyFault[] = judgeCompleteness(parts).missing.map((part) => ({ code: "part-missing", part }));
  const twice = new Set(parts.map(({ component }) => component).filter((component, at, all) => all.indexOf(component) < at));
  for (const component of twice) faults.push({ code: "same-component-twice", component });
  for (const role of new Set(parts.map((part) => part.role))) {
    const components = parts.filter((part) => part.role === role).map(({ component }) => component);
    // Of hoses a set has several; every other position has one place.
    if (role !== "hose" && components.length > 1) faults.push({ code: "place-taken-twice", role, components });
  }
  return faults;
}

const isSecondStage = (role: Role): boolean => role === "primary" || role === "alternate";

function pairingFaults(parts: readonly AssembledPart[]): readonly AssemblyFault[] {
  return parts.filter(({ role, pairingApproved }) => isSecondStage(role) && pairingApproved === false).map(({ component }) => ({ code: "not-paired", component }));
}

function pairingDoubt({ component, role, pairingApproved }: AssembledPart): readonly AssemblyDoubt[] {
  return isSecondStage(role) && pairingApproved === null ? [{ code: "pairing-unknown", component }] : [];
}

interface Plugs {
  readonly used: readonly Plug[];
  readonly faults: readonly AssemblyFault[];
  readonly doubts: readonly AssemblyDoubt[];
}

type Side = NonNullable<ReturnType<typeof portOf>>;

function sideOf(plug: Plug): Side {
  return plug === "hp-7/16" ? "high-pressure" : "low-pressure";
}

/** Which plugs go into the first stage, and what is wrong or unknown about them. */
function plugsOf(parts: readonly AssembledPart[]): Plugs {
  const used: Plug[] = [];
  const faults: AssemblyFault[] = [];
  const doubts: AssemblyDoubt[] = [];
  const hoses = parts.filter(({ role }) => role === "hose");
  for (const { component, build } of hoses) {
    if (build === null) doubts.push({ code: "build-unknown", component });
    else if (build.plugsInto === null) doubts.push({ code: "plug-unknown", component });
    else used.push(build.plugsInto);
  }
  const spare: Record<Side, number> = { "high-pressure": 0, "low-pressure": 0 };
  for (const plug of used) spare[sideOf(plug)] += 1;
  for (const { component, role, build } of parts) {
    const side = portOf(role);
    if (side === null) continue;
    if (build === null) doubts.push({ code: "build-unknown", component });
    else if (build.plugsInto === null) {
      // The hose it hangs on has been counted already.
      if (spare[side] > 0) spare[side] -= 1;
      else doubts.push({ code: "plug-unknown", component });
    } else if (sideOf(build.plugsInto) === side) used.push(build.plugsInto);
    else faults.push({ code: side === "low-pressure" ? "low-pressure-part-on-high-port" : "high-pressure-part-on-low-port", component, plug: build.plugsInto });
  }
  return { used, faults, doubts };
}

function judgePorts(parts: readonly AssembledPart[], used: readonly Plug[]): Omit<Plugs, "used"> {
  const faults: AssemblyFault[] = [];
  const doubts: AssemblyDoubt[] = [];
  const [first, ...others] = parts.filter(({ role }) => role === "first-stage");
  // Without one first stage there is nothing to count ports of, and that is named already.
  if (first === undefined || others.length > 0) return { faults, doubts };
  if (first.build === null) return { faults, doubts: [{ code: "build-unknown", component: first.component }] };
  const there: Readonly<Record<Plug, number | null>> = { "lp-3/8": first.build.lpPorts, "lp-1/2": first.build.lpHalfInchPorts, "hp-7/16": first.build.hpPorts };
  for (const plug of PLUGS) {
    const count = used.filter((one) => one === plug).length;
    const ports = there[plug];
    if (count === 0) continue;
    if (ports === null) doubts.push({ code: "ports-unknown", component: first.component, plug });
    else if (!(count <= ports)) faults.push({ code: "too-few-ports", plug, used: count, there: ports });
  }
  return { faults, doubts };
}
