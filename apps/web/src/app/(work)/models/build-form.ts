/** How a model is built, as typed. What is left empty is not recorded, and then not judged. */
import type { ModelKind } from "@hangrail/rules/models";
import type { Inputs, Outputs } from "../../../trpc/types.ts";
import { plugWords } from "../../../assembly-words.ts";
import { countText, hoursText } from "../../../format.ts";

export type Build = Inputs["models"]["acceptBuild"]["build"];
export type BuildVersion = Outputs["models"]["manual"]["builds"][number];

export const balances = ["balanced", "unbalanced-piston", "unbalanced-diaphragm"] as const;
export type Balance = (typeof balances)[number];

export function balanceWords(balance: Balance): string {
  switch (balance) {
    case "balanced":
      return "balanced";
    case "unbalanced-piston":
      return "unbalanced piston: its pressure falls with the cylinder's";
    case "unbalanced-diaphragm":
      return "unbalanced diaphragm: its pressure rises as the cylinder's falls";
  }
}

export const buildFigures = ["hpPorts", "lpPorts", "lpHalfInchPorts", "serviceMinutes", "inspectionMinutes"] as const;
export type BuildFigure = (typeof buildFigures)[number];

export const buildFigureWords: Readonly<Record<BuildFigure, string>> = {
  hpPorts: "High-pressure ports, 7/16 inch",
  lpPorts: "Low-pressure ports, 3/8 inch",
  lpHalfInchPorts: "Low-pressure ports, 1/2 inch",
  serviceMinutes: "Bench minutes for a service",
  inspectionMinutes: "Bench minutes for an inspection",
};

export type BuildForm = Readonly<Record<BuildFigure, string>> & { balance: Build["balance"]; plugsInto: Build["plugsInto"]; page: string };
export type BuildProblems = Readonly<Partial<Record<keyof BuildForm, string>>>;

/** The figures that are asked of a kind: ports of a first stage alone. */
export function figuresOf(kind: ModelKind): readonly BuildFigure[] {
  return kind === "first-stage" ? buildFigures : ["serviceMinutes", "inspectionMinutes"];
}

/** What is in force, to be changed; the page is looked up anew. */
export function openBuild(now: BuildVersion | null): BuildForm {
  const text = (figure: BuildFigure) => (now?.[figure] == null ? "" : String(now[figure]));
  return {
    hpPorts: text("hpPorts"),
    lpPorts: text("lpPorts"),
    lpHalfInchPorts: text("lpHalfInchPorts"),
    serviceMinutes: text("serviceMinutes"),
    inspectionMinutes: text("inspectionMinutes"),
    balance: now?.balance ?? null,
    plugsInto: now?.plugsInto ?? null,
    page: "",
  };
}

export function readBuild(form: BuildForm, kind: ModelKind): { build: Build } | { problems: BuildProblems } {
  const problems: Partial<Record<keyof BuildForm, string>> = {};
  const asked = figuresOf(kind);
  const figure = (name: BuildFigure): number | null => {
    const typed = form[name].trim();
    if (!asked.includes(name) || typed === "") return null;
    const ports = name.endsWith("Ports");
    const [least, most] = ports ? [0, 10] : [1, 1_000];
    const value = /^\d{1,4}$/.test(typed) ? Number(typed) : Number.NaN;
    if (value >= least && value <= most) return value;
    problems[name] = `a whole number from ${least} to ${most} is needed.`;
    return null;
  };
  const first = kind === "first-stage";
  const build: Build = {
    balance: first ? form.balance : null,
    hpPorts: figure("hpPorts"),
    lpPorts: figure("lpPorts"),
    lpHalfInchPorts: figure("lpHalfInchPorts"),
    plugsInto: first ? null : form.plugsInto,
    serviceMinutes: figure("serviceMinutes"),
    inspectionMinutes: figure("inspectionMinutes"),
    page: form.page.trim(),
  };
  if (build.page === "") problems.page = "name the manual and its page.";
  return Object.keys(problems).length > 0 ? { problems } : { build };
}

/** A build line by line: what each fact is called, and what it says. */
export function buildLines(build: Omit<Build, "page">, kind: ModelKind): readonly (readonly [string, string])[] {
  const unknown = "not recorded";
  const ports = (count: number | null) => (count === null ? unknown : countText(count, "port"));
  const time = (minutes: number | null) => (minutes === null ? unknown : hoursText(minutes));
  return [
    ...(kind === "first-stage"
      ? ([
          ["Design", build.balance === null ? unknown : balanceWords(build.balance)],
          ["High pressure, 7/16 inch", ports(build.hpPorts)],
          ["Low pressure, 3/8 inch", ports(build.lpPorts)],
          ["Low pressure, 1/2 inch", ports(build.lpHalfInchPorts)],
        ] as const)
      : ([["Screws in with", build.plugsInto === null ? "nothing of its own, or not recorded" : plugWords(build.plugsInto)]] as const)),
    ["A service takes", time(build.serviceMinutes)],
    ["An inspection takes", time(build.inspectionMinutes)],
  ];
}
