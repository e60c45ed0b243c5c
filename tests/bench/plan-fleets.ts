/** Plan problems of any size for measuring: invented fleets with lumpy due dates, a tight bench and two closed weeks. */
import { DEFAULT_WEIGHTS } from "@hangrail/rules/plan-problem";
import type { PlanProblem, PlanSet } from "@hangrail/rules/plan-problem";

export interface PlanFleet {
  readonly name: string;
  readonly sets: number;
  readonly kinds: number;
  /** Every set its own due week, bench time and promised weeks; else sets come in lots of the same. */
  readonly allDifferent: boolean;
}

const WEEKS = 26;
const CLOSED = new Set([15, 16]);

/** Chance from a seed (mulberry32), so that every run measures the same fleets. */
export function chance(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

export function planFleet({ sets: size, kinds, allDifferent }: PlanFleet, seed: number): PlanProblem {
  const random = chance(seed);
  const below = (n: number): number => Math.floor(random() * n);
  const makers = Array.from({ length: Math.min(4, kinds) }, (_, at) => `maker ${at}`);
  const minutesOf = Array.from({ length: kinds }, () => 60 + 15 * below(7));
  const sets: PlanSet[] = [];
  for (let lot = 0; sets.length < size; lot += 1) {
    const kind = lot % kinds;
    const centre = below(50) - 2;
    for (let left = Math.min(size - sets.length, 3 + below(Math.max(4, size / 40))); left > 0; left -= 1) {
      const out = allDifferent && random() < 0.3 ? [below(WEEKS), below(WEEKS)] : [];
      sets.push({
        id: `R-${String(sets.length).padStart(5, "0")}`,
        serves: [`kind ${kind}`],
        due: allDifferent ? below(50) - 2 : centre + below(3),
        awayWeeks: 1,
        work: [{ maker: makers[kind % makers.length]!, minutes: allDifferent ? 60 + 15 * below(5) : minutesOf[kind]! }],
        kits: [{ kit: `kit ${kind % 8}`, count: 1 }],
        out,
        onBench: [],
        lasts: null,
        lock: null,
      });
    }
  }
  return { weeks: WEEKS, sets, ...supplyFor(sets, kinds, makers), weights: DEFAULT_WEIGHTS, coverFirst: true };
}

/** About as many hours and kits as the sets due within the weeks need, and bookings that peak at four sets in five. */
function supplyFor(sets: readonly PlanSet[], kinds: number, makers: readonly string[]): Pick<PlanProblem, "benchMinutes" | "technicians" | "kits" | "bookings"> {
  const due = sets.filter((set) => set.due < WEEKS);
  const needed = due.reduce((sum, set) => sum + set.work[0]!.minutes, 0);
  const weekly = 30 * Math.ceil((needed * 1.05) / (WEEKS - CLOSED.size) / 30);
  const open = (minutes: number): number[] => Array.from({ length: WEEKS }, (_, week) => (CLOSED.has(week) ? 0 : minutes));
  const share = 30 * Math.ceil((weekly * 0.6) / 30);
  const who = [makers, makers.slice(0, Math.ceil(makers.length / 2)), makers.slice(Math.floor(makers.length / 2))];
  return {
    benchMinutes: open(weekly),
    technicians: who.map((may, at) => ({ id: `technician ${at}`, minutes: open(share), authorisations: may.map((maker) => ({ maker, from: 0, until: WEEKS - 1 })) })),
    kits: Array.from({ length: Math.min(8, kinds) }, (_, at) => {
      const uses = due.filter((set) => set.kits[0]!.kit === `kit ${at}`).length;
      const lot = Math.ceil(uses / 6);
      return { id: `kit ${at}`, stock: lot, arrivals: Array.from({ length: WEEKS }, (_, week) => (week % 4 === 3 ? lot : 0)) };
    }),
    bookings: Array.from({ length: kinds }, (_, kind) => {
      const owned = sets.filter((set) => set.serves[0] === `kind ${kind}`).length;
      return { id: `kind ${kind}`, sets: Array.from({ length: WEEKS }, (_, week) => Math.floor(owned * (0.6 + 0.2 * Math.sin((Math.PI * week) / WEEKS) ** 2))) };
    }),
  };
}
