/** How long a run is. `HANGRAIL_CRASH_ROUNDS=200 npm run crash` is the long form: that many rounds, and every act at every point. */
const asked = process.env["HANGRAIL_CRASH_ROUNDS"] ?? "";

export const LONG = asked !== "";
export const ROUNDS = LONG ? wholeNumber(asked) : 3;

function wholeNumber(text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 1) throw new Error(`HANGRAIL_CRASH_ROUNDS is "${text}"; it must be a whole number from 1.`);
  return value;
}

/** Chance that can be had again: numbers from 0 to below `below`, the same for the same seed. */
export function chance(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) % below;
  };
}

/** A new one for every run; HANGRAIL_CRASH_SEED runs an earlier one again. */
export const SEED = Number(process.env["HANGRAIL_CRASH_SEED"] ?? Date.now() % 1_000_000);
