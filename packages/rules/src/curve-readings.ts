/** The readings that a pasted curve holds, so that screen and record take the same ones out of it. */
import type { BenchReading } from "./bench-readings.ts";
import type { Centibar } from "./measures.ts";
import type { PressurePoint } from "./pressure-column.ts";
import { readPressureCurve } from "./pressure-curve.ts";
import type { FoundCurve, IncompleteCurve } from "./pressure-curve.ts";

/** A curve of one first stage at one supply, as its logging gauge gave it. */
export interface BenchCurve {
  readonly component: string;
  readonly supplyCbar: Centibar | null;
  /** The gauge that logged it. */
  readonly gauge: string | null;
  readonly points: readonly PressurePoint[];
}

/**
 * Lock-up as intermediate pressure, and the creep after it. A curve that ends too early still tells where
 * it locked up; one that is too sparse, or never locked up, tells nothing.
 */
export function readingsOfCurve({ component, supplyCbar, gauge, points }: BenchCurve, found: FoundCurve | IncompleteCurve = readPressureCurve(points)): readonly BenchReading[] {
  const lockUp = found.answer === "found" || found.why === "too-short" ? found.lockUp : null;
  if (lockUp === null) return [];
  const read = { component, supplyCbar, at: null, gauge, adjuster: "none", venturi: "none" } as const;
  const pressure: BenchReading = { ...read, name: "intermediate-pressure", value: lockUp };
  return found.answer === "found" ? [pressure, { ...read, name: "creep", value: found.creep }] : [pressure];
}

/** Fewer points with the same shape: of each stretch the lowest and the highest. For drawing, never for judging. */
export function drawnPoints(points: readonly PressurePoint[], most: number): readonly PressurePoint[] {
  const stretches = Math.floor(most / 2) - 1;
  if (points.length <= most || stretches < 1) return points;
  const kept = new Set<PressurePoint>([points[0]!, points.at(-1)!]);
  for (let nth = 0; nth < stretches; nth += 1) {
    const stretch = points.slice(Math.floor((nth * points.length) / stretches), Math.floor(((nth + 1) * points.length) / stretches));
    kept.add(stretch.reduce((low, one) => (one.centibar < low.centibar ? one : low)));
    kept.add(stretch.reduce((high, one) => (one.centibar > high.centibar ? one : high)));
  }
  return points.filter((point) => kept.has(point));
}
