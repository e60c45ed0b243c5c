import { day } from "./calendar.ts";
import type { CautionCode, ComponentFacts, HireTerms, HoldCode } from "./hand-out.ts";
import type { Role } from "./models.ts";
import type { Policy } from "./policy.ts";

export interface HandOutCase {
  readonly name: string;
  readonly components?: Partial<Record<Role, Partial<ComponentFacts>>>;
  readonly hire?: Partial<HireTerms>;
  readonly policy?: Partial<Policy>;
  readonly today?: string;
  /** "code component", in gate order. */
  readonly holds: readonly `${HoldCode} ${Role}`[];
  readonly cautions?: readonly `${CautionCode} ${Role}`[];
  readonly source: string;
}

const yoke = { connection: "yoke", maxSupplyCentibar: 23_200 } as const;
const din232 = { connection: "din-232", maxSupplyCentibar: 23_200 } as const;
const european = { nitroxAboveTenths: 220, nitroxNeedsM26: true } as const;
const american = { nitroxAboveTenths: 400, nitroxNeedsM26: false } as const;

/** Check values of the gate. What a case does not state is in order (`wholeSet`, `aHire`). */
export const HAND_OUT_CASES: readonly HandOutCase[] = [
  {
    name: "handed out and back on the day the service falls due",
    components: { primary: { servicedOn: day("2025-03-10"), beddingCheckedOn: day("2025-04-10") } },
    today: "2026-03-10",
    hire: { backOn: day("2026-03-10") },
    holds: [],
    cautions: ["service-soon primary"],
    source: "common practice",
  },
  {
    name: "the day after",
    components: { primary: { servicedOn: day("2025-03-10"), beddingCheckedOn: day("2025-04-10") } },
    today: "2026-03-11",
    hire: { backOn: day("2026-03-11") },
    holds: ["service-overdue primary"],
    source: "common practice",
  },
  {
    name: "due on 6 June, hired from 3 to 9 June",
    components: { gauge: { servicedOn: day("2025-06-06") } },
    today: "2026-06-03",
    hire: { backOn: day("2026-06-09") },
    holds: ["service-falls-due gauge"],
    source: "common practice",
  },
  {
    name: "one dive left and one planned",
    components: { alternate: { divesSinceService: 99 } },
    hire: { dives: 1, minutes: 60 },
    holds: [],
    cautions: ["service-soon alternate"],
    source: "common practice",
  },
  {
    name: "one dive left and two planned",
    components: { alternate: { divesSinceService: 99 } },
    hire: { dives: 2, minutes: 120 },
    holds: ["service-falls-due alternate"],
    source: "common practice",
  },
  {
    name: "no dive left",
    components: { alternate: { divesSinceService: 100 } },
    hire: { dives: 1, minutes: 60 },
    holds: ["service-overdue alternate"],
    source: "common practice",
  },
  {
    name: "a component never used, serviced nor inspected",
    components: {
      gauge: {
        boughtOn: day("2026-01-05"),
        inUseOn: day("2026-07-01"),
        servicedOn: null,
        lastUsedOn: null,
        divesSinceService: 0,
        minutesSinceService: 0,
      },
    },
    holds: ["first-inspection gauge"],
    source: "AAUS manual 3.20: inspected and tested before first use",
  },
  {
    name: "a component inspected before its first use",
    components: {
      gauge: { boughtOn: day("2026-01-05"), inUseOn: null, servicedOn: null, lastUsedOn: null, inspectedOn: day("2026-07-01") },
    },
    holds: [],
    source: "AAUS manual 3.20: inspected and tested before first use",
  },
  { name: "a yoke on a 232 bar yoke valve", components: { "first-stage": yoke }, hire: { cylinder: { connection: "yoke", centibar: 23_200 } }, holds: [], source: "ISO 12209:2013" },
  {
    name: "a yoke on a 300 bar cylinder",
    components: { "first-stage": yoke },
    hire: { cylinder: { connection: "din-300", centibar: 30_000 } },
    holds: ["connection first-stage", "pressure first-stage"],
    source: "ISO 12209:2013",
  },
  { name: "a 232 bar thread on a 300 bar valve", components: { "first-stage": din232 }, hire: { cylinder: { connection: "din-300", centibar: 23_200 } }, holds: ["connection first-stage"], source: "common practice" },
  { name: "a 300 bar thread in a 232 bar valve", hire: { cylinder: { connection: "din-232", centibar: 23_200 } }, holds: [], source: "common practice" },
  { name: "EAN32 on a G5/8 thread at a European site", hire: { o2Tenths: 320 }, policy: european, holds: ["nitrox-connection first-stage"], source: "EN 144-3:2003" },
  { name: "EAN32 on a G5/8 thread at an American site", hire: { o2Tenths: 320 }, policy: american, holds: [], source: "29 CFR 1910.430(i)" },
  {
    name: "EAN32 on M26",
    components: { "first-stage": { connection: "m26" } },
    hire: { o2Tenths: 320, cylinder: { connection: "m26", centibar: 23_200 } },
    policy: european,
    holds: [],
    source: "EN 144-3:2003",
  },
  { name: "40.0 % on a set for 40 %", hire: { o2Tenths: 400 }, policy: american, holds: [], source: "29 CFR 1910.430(i)" },
  {
    name: "40.1 % on a set for 40 %",
    hire: { o2Tenths: 401 },
    policy: american,
    holds: ["oxygen first-stage", "oxygen primary", "oxygen alternate", "oxygen gauge", "oxygen inflator-hose"],
    source: "29 CFR 1910.430(i)",
  },
  {
    name: "22.0 % on a component nobody recorded for oxygen",
    components: { gauge: { maxO2Tenths: null } },
    hire: { o2Tenths: 220 },
    policy: european,
    holds: [],
    source: "EN 13949:2003",
  },
  {
    name: "22.1 % on a component nobody recorded for oxygen",
    components: { gauge: { maxO2Tenths: null } },
    hire: { o2Tenths: 221 },
    policy: european,
    holds: ["nitrox-connection first-stage", "oxygen gauge"],
    source: "EN 13949:2003",
  },
  ...([80, 100] as const).map((waterTenthsC): HandOutCase => ({
    name: `a set marked ">10 °C" in water of ${waterTenthsC / 10} °C`,
    components: { primary: { coldRating: "warm-only" } },
    hire: { waterTenthsC },
    holds: ["cold primary"],
    source: "EN 250:2014",
  })),
  { name: 'a set marked ">10 °C" in water of 11 °C', components: { primary: { coldRating: "warm-only" } }, hire: { waterTenthsC: 110 }, holds: [], source: "EN 250:2014" },
  { name: "a mark nobody read, in water of 10 °C", components: { "first-stage": { coldRating: "unknown" } }, hire: { waterTenthsC: 100 }, holds: ["cold first-stage"], source: "common practice" },
  { name: "no temperature mark, water of 4 °C", hire: { waterTenthsC: 40 }, holds: [], source: "EN 250:2014" },
  {
    name: "no temperature mark, water of 3 °C",
    hire: { waterTenthsC: 30 },
    holds: ["cold first-stage", "cold primary", "cold alternate"],
    source: "EN 250:2014",
  },
  { name: "a gauge with a warm mark says nothing in cold water", components: { gauge: { coldRating: "warm-only" } }, hire: { waterTenthsC: 40 }, holds: [], source: "EN 250:2014" },
  { name: "planned to 35 m", hire: { depthDecimetres: 350 }, holds: [], cautions: ["two-diver-depth first-stage"], source: "EN 250:2014: two divers are tested to 30 m only" },
  { name: "planned to 30 m", hire: { depthDecimetres: 300 }, holds: [], source: "EN 250:2014: two divers are tested to 30 m only" },
  { name: "a maximum pressure nobody recorded", components: { "first-stage": { maxSupplyCentibar: null } }, holds: ["pressure first-stage"], source: "common practice" },
  { name: "a connection nobody recorded", components: { "first-stage": { connection: null } }, holds: ["connection first-stage"], source: "common practice" },
  { name: "a pairing nobody recorded", components: { alternate: { pairingApproved: null } }, holds: ["pairing alternate"], source: "common practice" },
  { name: "limits nobody recorded", components: { primary: { limits: null } }, holds: ["not-judged primary"], source: "common practice" },
  {
    name: "a component last used 12 months ago",
    components: { gauge: { inUseOn: day("2024-03-01"), servicedOn: day("2025-07-03"), lastUsedOn: day("2025-07-03"), limits: { service: { months: 24, dives: null, minutes: null }, inspection: null } } },
    holds: [],
    source: "common practice",
  },
  {
    name: "a component last used 12 months and a day ago",
    components: { gauge: { inUseOn: day("2024-03-01"), servicedOn: day("2025-07-02"), lastUsedOn: day("2025-07-02"), limits: { service: { months: 24, dives: null, minutes: null }, inspection: null } } },
    holds: ["shelf-inspection gauge"],
    source: "common practice",
  },
  { name: "30 days after the service, no bedding check", components: { primary: { servicedOn: day("2026-06-03"), beddingCheckedOn: day("2026-06-02"), divesSinceService: 9 } }, holds: [], cautions: ["bedding-check primary"], source: "common practice" },
  { name: "29 days and 9 dives after the service", components: { primary: { servicedOn: day("2026-06-04"), beddingCheckedOn: null, divesSinceService: 9 } }, holds: [], source: "common practice" },
  { name: "10 dives after the service", components: { primary: { servicedOn: day("2026-06-30"), beddingCheckedOn: null, divesSinceService: 10 } }, holds: [], cautions: ["bedding-check primary"], source: "common practice" },
  { name: "a fault to watch", components: { gauge: { openFaults: ["watch"] } }, holds: [], cautions: ["watch-fault gauge"], source: "common practice" },
];
