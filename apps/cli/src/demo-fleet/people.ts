/** The invented people of the demo centre, and how they sign in. */
import type { StaffRole } from "@hangrail/db/people-acts";
import { MAKERS, type Maker } from "./catalogue.ts";

export type SiteKey = "harbour" | "lake";

/** One line of the sign-ins that the demo prints. */
export interface DemoSignIn {
  readonly name: string;
  readonly login: string;
  readonly password: string;
  readonly pin: string;
  /** What the person is at the centre, in a few words. */
  readonly may: string;
}
export type DemoSignIns = readonly DemoSignIn[];

export interface DemoPerson extends DemoSignIn {
  readonly roles: Readonly<Partial<Record<SiteKey, readonly StaffRole[]>>>;
}

export const MANAGER: DemoPerson = {
  name: "Marga Ollin",
  login: "marga",
  password: "lantern-over-the-quay",
  pin: "274916",
  may: "manager at both sites, desk at the harbour",
  roles: { harbour: ["desk", "manager"], lake: ["manager"] },
};

export const OTHERS: readonly DemoPerson[] = [
  {
    name: "Tobias Renk",
    login: "tobias",
    password: "seven-brass-spanners",
    pin: "580317",
    may: `technician at both sites (${MAKERS.tarnwick}, ${MAKERS.quillon}, ${MAKERS.dorvane})`,
    roles: { harbour: ["technician"], lake: ["technician"] },
  },
  {
    name: "Ines Quell",
    login: "ines",
    password: "quiet-valve-on-monday",
    pin: "936402",
    may: `technician at both sites (${MAKERS.quillon}, ${MAKERS.hespera}, ${MAKERS.dorvane}), desk at the lake`,
    roles: { harbour: ["technician"], lake: ["technician", "desk"] },
  },
  {
    name: "Pelle Strand",
    login: "pelle",
    password: "wet-hands-dry-tags",
    pin: "415873",
    may: "desk and wash room at the harbour",
    roles: { harbour: ["desk", "wash-room"] },
  },
  {
    name: "Yara Dunn",
    login: "yara",
    password: "first-boat-at-eight",
    pin: "762098",
    may: "desk at both sites",
    roles: { harbour: ["desk"], lake: ["desk"] },
  },
  {
    name: "Oskar Vale",
    login: "oskar",
    password: "mist-on-the-water",
    pin: "309145",
    may: "wash room at both sites, desk at the lake",
    roles: { harbour: ["wash-room"], lake: ["wash-room", "desk"] },
  },
];

/** Whose equipment each technician may work on, and whether oxygen-clean. */
export const AUTHORISATIONS: readonly { readonly login: string; readonly maker: Maker; readonly oxygenClean: boolean; readonly evidence: string }[] = [
  { login: "tobias", maker: MAKERS.tarnwick, oxygenClean: false, evidence: "Seminar certificate TW-1187" },
  { login: "tobias", maker: MAKERS.quillon, oxygenClean: true, evidence: "Seminar certificate QL 40-22, oxygen part passed" },
  { login: "tobias", maker: MAKERS.dorvane, oxygenClean: true, evidence: "Workshop letter of Dorvane, spring course" },
  { login: "ines", maker: MAKERS.quillon, oxygenClean: false, evidence: "Seminar certificate QL 41-07" },
  { login: "ines", maker: MAKERS.hespera, oxygenClean: false, evidence: "Hespera service card 3320" },
  { login: "ines", maker: MAKERS.dorvane, oxygenClean: false, evidence: "Workshop letter of Dorvane, autumn course" },
];

/** The sign-ins of the demo, the same every time. */
export const DEMO_SIGN_INS: DemoSignIns = [MANAGER, ...OTHERS].map(({ name, login, password, pin, may }) => ({ name, login, password, pin, may }));
