/** The invented people of the demo centre, and how they sign in. */
import type { StaffRole } from "@hangrail/db/people-acts";
import type { DemoSignIn } from "../messages.ts";
import { MAKERS, type Maker } from "./catalogue.ts";

export type SiteKey = "harbour" | "lake";

export type DemoSignIns = readonly DemoSignIn[];

export interface DemoPerson extends DemoSignIn {
  readonly roles: Readonly<Partial<Record<SiteKey, readonly StaffRole[]>>>;
}

export const MANAGER: DemoPerson = {
  name: "Marga Ollin",
  login: "marga",
  password: "lantern-over-the-quay",
  pin: "274916",
  does: "manager at both sites, desk at the harbour",
  roles: { harbour: ["desk", "manager"], lake: ["manager"] },
};

export const OTHERS: readonly DemoPerson[] = [
  {
    name: "Tobias Renk",
    login: "tobias",
    password: "seven-brass-spanners",
    pin: "580317",
    does: `technician at both sites (${MAKERS.tarnwick}, ${MAKERS.quillon}, ${MAKERS.dorvane})`,
    roles: { harbour: ["technician"], lake: ["technician"] },
  },
  {
    name: "Ines Quell",
    login: "ines",
    password: "quiet-valve-on-monday",
    pin: "936402",
    does: `technician at both sites (${MAKERS.quillon}, ${MAKERS.hespera}, ${MAKERS.dorvane}), desk at the lake`,
    roles: { harbour: ["technician"], lake: ["technician", "desk"] },
  },
  {
    name: "Pelle Strand",
    login: "pelle",
    password: "wet-hands-dry-tags",
    pin: "415873",
    does: "desk and wash room at the harbour",
    roles: { harbour: ["desk", "wash-room"] },
  },
  {
    name: "Yara Dunn",
    login: "yara",
    password: "first-boat-at-eight",
    pin: "762098",
    does: "desk at both sites",
    roles: { harbour: ["desk"], lake: ["desk"] },
  },
  {
    name: "Oskar Vale",
    login: "oskar",
    password: "mist-on-the-water",
    pin: "309145",
    does: "wash room at both sites, desk at the lake",
    roles: { harbour: ["wash-room"], lake: ["wash-room", "desk"] },
  },
];

/** Whose equipment each technician may work on, and whether oxygen-clean. */
export const AUTHORISATIONS: readonly { readonly login: string; readonly maker: Maker; readonly oxygenClean: boolean; readonly evidence: string; readonly runsOutInDays?: number }[] = [
  { login: "tobias", maker: MAKERS.tarnwick, oxygenClean: false, evidence: "Seminar certificate TW-1187" },
  { login: "tobias", maker: MAKERS.quillon, oxygenClean: true, evidence: "Seminar certificate QL 40-22, oxygen part passed" },
  { login: "tobias", maker: MAKERS.dorvane, oxygenClean: true, evidence: "Workshop letter of Dorvane, spring course" },
  { login: "ines", maker: MAKERS.quillon, oxygenClean: false, evidence: "Seminar certificate QL 41-07", runsOutInDays: 40 },
  { login: "ines", maker: MAKERS.hespera, oxygenClean: false, evidence: "Hespera service card 3320" },
  { login: "ines", maker: MAKERS.dorvane, oxygenClean: false, evidence: "Workshop letter of Dorvane, autumn course" },
];

/** The sign-ins of the demo, the same every time. */
export const demoSignIns: DemoSignIns = [MANAGER, ...OTHERS].map(({ name, does, login, password, pin }) => ({ name, does, login, password, pin }));
