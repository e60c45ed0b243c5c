import type { GroupedSpell } from "./log-rank.ts";
import type { Spell } from "./survival.ts";

/** Times as they are printed: "6+" is a spell without an event. */
function printed(times: string): readonly Spell[] {
  return times.split(" ").map((one) => ({ time: Number(one.replace("+", "")), fault: !one.endsWith("+") }));
}

function grouped(group: string, spells: readonly Spell[]): readonly GroupedSpell[] {
  return spells.map((spell) => ({ ...spell, group }));
}

/** Weeks in remission, Freireich et al. (1963), as reprinted by Cox and Oakes (1984), table 1.1. */
export const SIX_MP = printed("6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+");
export const PLACEBO = printed("1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23");
export const REMISSION = [...grouped("6-MP", SIX_MP), ...grouped("placebo", PLACEBO)];

/** Weeks, acute myelogenous leukaemia, Embury et al. (1977), as reprinted by Miller (1981). */
export const MAINTAINED = printed("9 13 13+ 18 23 28+ 31 34 45+ 48 161+");
const NOT_MAINTAINED = printed("5 5 8 8 12 16+ 23 27 30 33 43 45");
export const AML = [...grouped("maintained", MAINTAINED), ...grouped("not maintained", NOT_MAINTAINED)];

/** Product-limit estimate and Greenwood's error of SIX_MP: Kleinbaum and Klein, Survival Analysis; Collett (2003). */
export const SIX_MP_CURVE = [
  { time: 6, atRisk: 21, faults: 3, survival: 0.857, standardError: 0.0764 },
  { time: 7, atRisk: 17, faults: 1, survival: 0.807, standardError: 0.0869 },
  { time: 10, atRisk: 15, faults: 1, survival: 0.753, standardError: 0.0963 },
  { time: 13, atRisk: 12, faults: 1, survival: 0.69, standardError: 0.1068 },
  { time: 16, atRisk: 11, faults: 1, survival: 0.627, standardError: 0.1141 },
  { time: 22, atRisk: 7, faults: 1, survival: 0.538, standardError: 0.1282 },
  { time: 23, atRisk: 6, faults: 1, survival: 0.448, standardError: 0.1346 },
] as const;

/** 95 % log-log band of MAINTAINED at its events. Source: R, survfit(conf.type = "log-log"). */
export const MAINTAINED_BAND = [
  [0.50808020576993, 0.986673822667823],
  [0.447428614682181, 0.951162228582492],
  [0.350190385907938, 0.899023974191053],
  [0.265752040001286, 0.835299243250221],
  [0.167330909776851, 0.753399790370811],
  [0.0928295749369852, 0.657040832398164],
  [0.0117384801231896, 0.525014842726641],
] as const;

/** Hours to failure of 10 of 20 units, stopped at 500 h: NIST/SEMATECH e-Handbook 8.4.1.3. */
export const STOPPED_AT_500 = printed(`54 187 216 240 244 335 361 373 375 386 ${"500+ ".repeat(10)}`.trim());

/** Kilometres to failure of 38 shock absorbers, O'Connor (1985), as reprinted by Meeker and Escobar (1998), table C.2. */
export const SHOCK_ABSORBERS = printed(
  "6700 6950+ 7820+ 8790+ 9120 9660+ 9820+ 11310+ 11690+ 11850+ 11880+ 12140+ 12200 12870+ 13150 13330+ 13470+ 14040+ 14300 17520 " +
    "17540+ 17890+ 18450+ 18960+ 18980+ 19410+ 20100 20100+ 20150+ 20320+ 20900 22700 23490+ 26510 27410+ 27490 27890+ 28100+",
);
