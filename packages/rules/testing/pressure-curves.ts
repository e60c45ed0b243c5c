/** Curves of intermediate pressure as a logging gauge would give them, for tests and the demo fleet. */
import type { PressurePoint } from "../src/pressure-column.ts";

export interface CurveScript {
  /** Hundredths of a bar. */
  readonly lockUp: number;
  /** Rise over five minutes, hundredths of a bar. */
  readonly creep: number;
  /** "steady" rises by the same in each minute, "settling" ever less. */
  readonly shape: "steady" | "settling";
  /** Seconds between two points. */
  readonly every: number;
  /** How long it is left after lock-up, seconds. */
  readonly left: number;
  /** Seconds without pressure before the valve is opened. */
  readonly before: number;
  /** Purges before it is left alone, each held two seconds, ten seconds apart. */
  readonly purges: number;
  /** At the end the valve is shut and the set purged. */
  readonly shut: boolean;
  /** Largest noise either way, hundredths of a bar, and the seed it comes from. */
  readonly noise: number;
  readonly seed: number;
}

const PLAIN: CurveScript = { lockUp: 950, creep: 0, shape: "steady", every: 1, left: 320, before: 0, purges: 0, shut: false, noise: 0, seed: 1 };
const PURGE_EVERY = 10;
const PURGE_HELD = 2;

/** A curve as written in a script: by default 9.5 bar, left for five minutes and a third without creep. */
export function aPressureCurve(differing: Partial<CurveScript> = {}): readonly PressurePoint[] {
  const script = { ...PLAIN, ...differing };
  const noise = noiseFrom(script.seed);
  const end = script.before + script.purges * PURGE_EVERY + script.left + (script.shut ? 20 : 0);
  const points: PressurePoint[] = [];
  for (let n = 0; n * script.every <= end + 1e-9; n += 1) {
    const seconds = Math.round(n * script.every * 1000) / 1000;
    points.push({ seconds, centibar: Math.round(pressureAt(script, seconds) + script.noise * noise()) });
  }
  return points;
}

function pressureAt(script: CurveScript, seconds: number): number {
  const open = seconds - script.before;
  if (open < 0) return 0;
  const purging = script.purges * PURGE_EVERY;
  if (open < purging) {
    const since = open % PURGE_EVERY;
    // Held for the last two seconds of each round; the first breath of gas comes up from nought.
    if (since >= PURGE_EVERY - PURGE_HELD) return script.lockUp - 150;
    return script.lockUp - (open < PURGE_EVERY ? script.lockUp : 150) * Math.exp(-since * 6) + creepBy(script, since);
  }
  const left = open - purging;
  if (left > script.left) return 0;
  return script.lockUp - (purging === 0 ? (script.before > 0 ? script.lockUp : 0) : 150) * Math.exp(-left * 6) + creepBy(script, left);
}

function creepBy({ creep, shape }: CurveScript, seconds: number): number {
  if (shape === "steady") return (creep * seconds) / 300;
  return (creep * (1 - Math.exp(-seconds / 100))) / (1 - Math.exp(-3));
}

/** From -1 to 1, the same for the same seed: a linear congruential row (Park and Miller, 1988). */
function noiseFrom(seed: number): () => number {
  let state = (seed % 2_147_483_646) + 1;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return (state / 2_147_483_647) * 2 - 1;
  };
}
