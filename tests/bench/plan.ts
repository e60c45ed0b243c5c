/** The plan, timed whole: grouping, writing the programme, solving in its thread, judging, reading back. */
import { solvePlan } from "@hangrail/api/solver/plan";
import { planFleet } from "./plan-fleets.ts";
import type { PlanFleet } from "./plan-fleets.ts";

interface Aim {
  readonly fleet: PlanFleet;
  readonly gap: number;
  readonly seconds: number;
}

const AIMS: readonly Aim[] = [
  { fleet: { name: "60 sets", sets: 60, kinds: 6, allDifferent: false }, gap: 0.005, seconds: 10 },
  { fleet: { name: "250 sets, all different", sets: 250, kinds: 12, allDifferent: true }, gap: 0.005, seconds: 10 },
  { fleet: { name: "1000 sets", sets: 1000, kinds: 16, allDifferent: false }, gap: 0.005, seconds: 15 },
  { fleet: { name: "5000 sets, grouped", sets: 5000, kinds: 24, allDifferent: false }, gap: 0.001, seconds: 30 },
];

const SEEDS = [1, 2, 3];

/** A plan that is slow is measured to its end, up to so many times what it should take. */
const PATIENCE = 4;

export async function measurePlan(): Promise<void> {
  console.log("\nplan of 26 weeks, whole call, three invented fleets of each size");
  for (const { fleet, gap, seconds } of AIMS) {
    const took: number[] = [];
    const gaps: number[] = [];
    const busy = process.cpuUsage();
    let resident = 0;
    for (const seed of SEEDS) {
      const problem = planFleet(fleet, seed);
      const watch = setInterval(() => (resident = Math.max(resident, process.memoryUsage.rss())), 100);
      const began = performance.now();
      const answer = await solvePlan(problem, { seconds: seconds * PATIENCE, relativeGap: gap, prices: null });
      took.push((performance.now() - began) / 1000);
      clearInterval(watch);
      if (answer.answer !== "plan" && answer.answer !== "short") throw new Error(`A fleet of ${fleet.name} has no plan: ${answer.answer}.`);
      gaps.push(answer.found.gap);
    }
    const { user, system } = process.cpuUsage(busy);
    const slowest = Math.max(...took);
    const widest = Math.max(...gaps);
    const kept = slowest <= seconds && widest <= gap;
    const detail = `gap ${gaps.map((one) => `${(100 * one).toFixed(2)} %`).join(" ")}, ${(resident / 1e6).toFixed(0)} MB resident, ${((user + system) / 1e6 / SEEDS.length).toFixed(1)} s of processor each`;
    console.log(`${`${fleet.name}, to a gap of ${100 * gap} %`.padEnd(58)} ${took.map((one) => one.toFixed(1)).join(" ")} s  (at most ${seconds} s: ${kept ? "kept" : "NOT kept"})   ${detail}`);
  }
}
