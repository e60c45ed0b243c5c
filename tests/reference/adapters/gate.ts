/**
 * The due dates and the hand-out gate. The cases count hours, bars, percents and metres; the rules
 * count minutes and whole small units. A value that is missing or that nobody knows is read as what
 * holds the set, never as what lets it go.
 */
import { dueOf } from "@hangrail/rules/due-dates";
import type { WorkDue } from "@hangrail/rules/due-dates";
import { decideHandOut } from "@hangrail/rules/hand-out";
import type { Cleaning, ComponentFacts, HireTerms, NoticeState, SetFacts, Severity } from "@hangrail/rules/hand-out";
import { inUnits } from "@hangrail/rules/measures";
import { COLD_RATINGS, CONNECTIONS, ROLES } from "@hangrail/rules/models";
import type { ColdRating, Connection, Limb, ModelLimits, Role } from "@hangrail/rules/models";
import { DEFAULT_POLICY } from "@hangrail/rules/policy";
import type { Policy } from "@hangrail/rules/policy";
import type { Adapter } from "./adapter.ts";
import { dayOrNull, fields, list, number, numberOrNull, readDay, text } from "./reading.ts";

const MINUTES_PER_HOUR = 60;

export const due: Adapter = {
  answer: (input) => {
    const given = fields(input, "input");
    const today = readDay(given["today"], "today");
    const teaching = given["teaching"] === true || (given["hire"] !== undefined && fields(given["hire"], "hire")["teaching"] === true);
    const judged = dueOf(readComponent(given["component"]), readPolicy(given["policy"]), today, teaching);
    if (judged === null) return { service: { state: "not-judged" }, inspection: { state: "not-judged" }, state: "not-judged" };
    return { service: inHours(judged.service), inspection: judged.inspection && inHours(judged.inspection) };
  },
};

export const handOut: Adapter = {
  answer: (input) => {
    const given = fields(input, "input");
    const { answer, holds, cautions } = decideHandOut(
      readSet(given["set"]),
      list(given["components"], "components").map(readComponent),
      readHire(given["hire"]),
      readPolicy(given["policy"]),
      readDay(given["today"], "today"),
    );
    const bare = ({ code, component }: { code: string; component: string | null }) => ({ code, component });
    return { answer, holds: holds.map(bare), cautions: cautions.map(bare) };
  },
};

function inHours({ dueOn, divesLeft, minutesLeft, state }: WorkDue) {
  return { dueOn, divesLeft, hoursLeft: minutesLeft === null ? null : minutesLeft / MINUTES_PER_HOUR, state };
}

function readPolicy(value: unknown): Policy {
  const given = fields(value, "policy");
  const own = (name: string, otherwise: number) => numberOrNull(given[name], name) ?? otherwise;
  const nitroxAbove = numberOrNull(given["nitroxAbovePercent"], "nitroxAbovePercent");
  return {
    ...DEFAULT_POLICY,
    teachingMonths: own("teachingMonths", DEFAULT_POLICY.teachingMonths),
    shelfMonths: own("shelfMonths", DEFAULT_POLICY.shelfMonths),
    beddingDives: own("beddingDives", DEFAULT_POLICY.beddingDives),
    beddingDays: own("beddingDays", DEFAULT_POLICY.beddingDays),
    nitroxAboveTenths: nitroxAbove === null ? DEFAULT_POLICY.nitroxAboveTenths : inUnits(nitroxAbove, 10, "down"),
    nitroxNeedsM26: given["nitroxNeedsM26"] !== false,
    serviceSoonDays: own("serviceSoonDays", DEFAULT_POLICY.serviceSoonDays),
    serviceSoonDives: own("serviceSoonDives", DEFAULT_POLICY.serviceSoonDives),
  };
}

const WASHING: readonly Cleaning[] = ["clean", "in-bath", "drying"];

function readSet(value: unknown): SetFacts {
  const given = fields(value, "set");
  const cleaning = WASHING.find((one) => one === given["cleaning"]) ?? "to-clean";
  return {
    evidenceLock: given["evidenceLock"] !== false,
    retired: given["retired"] !== false,
    out: given["out"] !== false,
    here: given["here"] === true,
    // A case that does not speak of a restore is of a centre that had none.
    restored: (given["restored"] ?? false) !== false,
    released: given["released"] === true,
    cleaning,
    openFaults: readFaults(given["openFaults"] ?? []),
  };
}

function readComponent(value: unknown): ComponentFacts {
  const given = fields(value, "component");
  const maxO2 = numberOrNull(given["maxO2Percent"], "maxO2Percent");
  const maxSupply = numberOrNull(given["maxSupplyBar"], "maxSupplyBar");
  const approved = given["pairingApproved"];
  return {
    id: text(given["id"], "component id"),
    role: readRole(given["role"]),
    limits: readLimits(given["limits"] ?? null),
    boughtOn: dayOrNull(given["boughtOn"], "boughtOn"),
    inUseOn: dayOrNull(given["inUseOn"], "inUseOn"),
    servicedOn: dayOrNull(given["servicedOn"], "servicedOn"),
    inspectedOn: dayOrNull(given["inspectedOn"], "inspectedOn"),
    beddingCheckedOn: dayOrNull(given["beddingCheckedOn"], "beddingCheckedOn"),
    lastUsedOn: dayOrNull(given["lastUsedOn"], "lastUsedOn"),
    divesSinceService: count(given["divesSinceService"]),
    minutesSinceService: count(given["hoursSinceService"]) * MINUTES_PER_HOUR,
    divesSinceInspection: count(given["divesSinceInspection"]),
    minutesSinceInspection: count(given["hoursSinceInspection"]) * MINUTES_PER_HOUR,
    taughtSinceService: given["taughtSinceService"] !== false,
    notice: readNotice(given["notice"]),
    openFaults: readFaults(given["openFaults"]),
    maxO2Tenths: maxO2 === null ? null : inUnits(maxO2, 10, "down"),
    coldRating: COLD_RATINGS.find((one): one is ColdRating => one === given["coldRating"]) ?? "unknown",
    connection: readConnection(given["connection"]),
    maxSupplyCentibar: maxSupply === null ? null : inUnits(maxSupply, 100, "down"),
    pairingApproved: typeof approved === "boolean" ? approved : null,
  };
}

/** A count nobody kept is NaN, which the rules take as "nothing left". */
function count(value: unknown): number {
  return numberOrNull(value, "a count") ?? Number.NaN;
}

function readRole(value: unknown): Role {
  const role = ROLES.find((one) => one === value);
  if (role === undefined) throw new Error(`there is no position ${JSON.stringify(value)} in a set`);
  return role;
}

function readLimits(value: unknown): ModelLimits | null {
  if (value === null) return null;
  const { service, inspection } = fields(value, "limits");
  if (service === null || service === undefined) return null;
  return { service: readLimb(service), inspection: inspection === null || inspection === undefined ? null : readLimb(inspection) };
}

function readLimb(value: unknown): Limb {
  const given = fields(value, "limb");
  const hours = numberOrNull(given["hours"], "hours");
  return {
    months: numberOrNull(given["months"], "months"),
    dives: numberOrNull(given["dives"], "dives"),
    minutes: hours === null ? null : hours * MINUTES_PER_HOUR,
  };
}

function readNotice(value: unknown): NoticeState {
  if (value === "none") return "none";
  return value === "check" || value === "check-by-hand" || value === "notice-check" ? "check" : "open";
}

function readFaults(value: unknown): readonly Severity[] {
  return list(value, "openFaults").map((fault) => {
    const severity = typeof fault === "string" ? fault : fields(fault, "fault")["severity"];
    return severity === "watch" || severity === "hold" ? severity : "out";
  });
}

function readConnection(value: unknown): Connection | null {
  return CONNECTIONS.find((one) => one === value) ?? null;
}

function readHire(value: unknown): HireTerms {
  const given = fields(value, "hire");
  const cylinder = fields(given["cylinder"], "cylinder");
  const valve = readConnection(cylinder["connection"]);
  if (valve === null) throw new Error(`no cylinder has a valve ${JSON.stringify(cylinder["connection"])}`);
  return {
    backOn: readDay(given["backOn"], "backOn"),
    dives: number(given["dives"], "dives"),
    minutes: count(given["hours"]) * MINUTES_PER_HOUR,
    teaching: given["teaching"] !== false,
    cylinder: { connection: valve, centibar: inUnits(number(cylinder["bar"], "bar"), 100, "up") },
    o2Tenths: inUnits(number(given["o2Percent"], "o2Percent"), 10, "up"),
    waterTenthsC: inUnits(number(given["waterC"], "waterC"), 10, "down"),
    depthDecimetres: inUnits(number(given["depthM"], "depthM"), 10, "up"),
  };
}
