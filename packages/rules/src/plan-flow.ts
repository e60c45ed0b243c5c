/**
 * Sharing out: how much flows from node 0 to node 1 through joins that each carry so much. With work on
 * one side and hours on the other it says whether the hours can be shared out, with sets and bookings
 * how many bookings can be served. By shortest augmenting paths (Edmonds and Karp 1972).
 */
export class Network {
  readonly #left: Map<number, number>[];
  constructor(nodes: number) {
    this.#left = Array.from({ length: nodes }, () => new Map<number, number>());
  }
  join(from: number, to: number, most: number): void {
    this.#left[from]!.set(to, (this.#left[from]!.get(to) ?? 0) + most);
    if (!this.#left[to]!.has(from)) this.#left[to]!.set(from, 0);
  }
  /** What a join can still carry. */
  left(from: number, to: number): number {
    return this.#left[from]!.get(to) ?? 0;
  }
  /** Sends as much as can flow and answers how much that was. */
  push(): number {
    let total = 0;
    for (let came = this.#search(); came.has(1); came = this.#search()) {
      let most = Number.MAX_SAFE_INTEGER;
      for (let at = 1; at !== 0; at = came.get(at)!) most = Math.min(most, this.left(came.get(at)!, at));
      for (let at = 1; at !== 0; at = came.get(at)!) {
        this.#left[came.get(at)!]!.set(at, this.left(came.get(at)!, at) - most);
        this.#left[at]!.set(came.get(at)!, this.left(at, came.get(at)!) + most);
      }
      total += most;
    }
    return total;
  }
  /** After a push: the nodes that more could still reach. */
  reachable(): ReadonlySet<number> {
    return new Set(this.#search().keys());
  }
  #search(): Map<number, number> {
    const came = new Map([[0, 0]]);
    for (const at of came.keys()) {
      for (const [to, left] of this.#left[at]!) if (left > 0 && !came.has(to)) came.set(to, at);
    }
    return came;
  }
}
