/** Latencies of one kind of call, and what is read off them. */
export interface Sample {
  readonly p50: number;
  readonly p99: number;
}

export function sampleOf(milliseconds: number[]): Sample {
  const sorted = milliseconds.sort((a, b) => a - b);
  const at = (share: number): number => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
  return { p50: at(0.5), p99: at(0.99) };
}

/** Runs `one` `times` times on each of `clients` workers at once. */
export async function timed(clients: number, times: number, one: (client: number, turn: number) => Promise<void>): Promise<Sample> {
  const taken: number[] = [];
  await Promise.all(
    Array.from({ length: clients }, async (_, client) => {
      for (let turn = 0; turn < times; turn += 1) {
        const began = performance.now();
        await one(client, turn);
        taken.push(performance.now() - began);
      }
    }),
  );
  return sampleOf(taken);
}

export function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
}

/** A line of the report: what was compared, the ratio, and the most it should be. */
export function ratioLine(what: string, ratio: number, most: number | null, detail: string): string {
  const judged = most === null ? "" : ratio <= most ? `  (at most ${most}: kept)` : `  (at most ${most}: NOT kept)`;
  return `${what.padEnd(58)} ${ratio.toFixed(2).padStart(7)} ×${judged}   ${detail}`;
}
