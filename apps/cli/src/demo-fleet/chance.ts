/** A small seeded source of chance (mulberry32): the same seed tells the same story. */
export interface Chance {
  /** From 0 up to, not including, 1. */
  next(): number;
  /** A whole number from least to most, both included. */
  whole(least: number, most: number): number;
  /** True with this probability. */
  happens(probability: number): boolean;
  /** One of the list, each as likely as the other. Throws a RangeError on an empty list. */
  pick<T>(list: readonly T[]): T;
  /** One of the list by weight. Throws a RangeError when there is nothing to pick. */
  weighted<T extends { readonly weight: number }>(list: readonly T[]): T;
}

export function chanceFrom(seed: number): Chance {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
  const pick = <T>(list: readonly T[]): T => {
    if (list.length === 0) throw new RangeError("There is nothing to pick from.");
    return list[Math.floor(next() * list.length)] as T;
  };
  return {
    next,
    pick,
    whole: (least, most) => least + Math.floor(next() * (most - least + 1)),
    happens: (probability) => next() < probability,
    weighted: (list) => {
      let left = next() * list.reduce((sum, one) => sum + one.weight, 0);
      for (const one of list) if ((left -= one.weight) < 0) return one;
      return pick(list.slice(-1));
    },
  };
}
