import type { PressurePoint } from "./pressure-column.ts";

/** Written by hand, once a minute: seconds and hundredths of a bar. */
function minutes(...pressures: readonly number[]): readonly PressurePoint[] {
  return pressures.map((centibar, at) => ({ seconds: at * 60, centibar }));
}

/** Check values of lock-up and creep. */
export const CURVE_CASES = [
  { what: "9.5, after five minutes 9.7", points: minutes(950, 954, 958, 962, 966, 970), lockUp: 950, creep: 20, still: true, source: "common practice" },
  { what: "9.5, after five minutes 9.9", points: minutes(950, 958, 966, 974, 982, 990), lockUp: 950, creep: 40, still: true, source: "common practice" },
  { what: "9.5 and stays there", points: minutes(950, 950, 950, 950, 950, 950), lockUp: 950, creep: 0, still: false, source: "common practice" },
  { what: "up 0.2 in the first minute, then still", points: minutes(950, 970, 970, 970, 970, 970), lockUp: 950, creep: 20, still: false, source: "arithmetic" },
  { what: "140 psi, after five minutes 145 psi", points: minutes(965, 972, 979, 986, 993, 1000), lockUp: 965, creep: 35, still: true, source: "NIST SP 811" },
  { what: "left longer: the first five minutes count", points: minutes(950, 954, 958, 962, 966, 970, 980, 990), lockUp: 950, creep: 20, still: true, source: "choice" },
  { what: "a lone misreading upwards", points: minutes(950, 1620, 958, 962, 966, 970), lockUp: 950, creep: 20, still: true, source: "choice" },
] as const;
