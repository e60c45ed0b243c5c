import type { Instant } from "@hangrail/rules/calendar";

/** Something that happens at an instant. */
interface Appointment {
  readonly at: Instant;
  readonly order: number;
  readonly happen: () => Promise<void>;
}

/** What is still to happen, at every site. Runs in the order of time; at one instant, in the order it was noted. */
export interface Agenda {
  add(at: Instant, happen: () => Promise<void>): void;
  /** Runs what lies before the instant, also what is added on the way. */
  runUntil(end: Instant, arrive: (at: Instant) => Promise<void>): Promise<void>;
}

export function newAgenda(): Agenda {
  const heap: Appointment[] = [];
  let noted = 0;
  return {
    add(at, happen) {
      heap.push({ at, order: noted++, happen });
      rise(heap);
    },
    async runUntil(end, arrive) {
      for (let first = heap[0]; first !== undefined && first.at < end; first = heap[0]) {
        removeFirst(heap);
        await arrive(first.at);
        await first.happen();
      }
    },
  };
}

const before = (a: Appointment, b: Appointment): boolean => a.at < b.at || (a.at === b.at && a.order < b.order);

function rise(heap: Appointment[]): void {
  let child = heap.length - 1;
  while (child > 0) {
    const parent = (child - 1) >> 1;
    if (!before(heap[child] as Appointment, heap[parent] as Appointment)) return;
    swap(heap, child, parent);
    child = parent;
  }
}

function removeFirst(heap: Appointment[]): void {
  const last = heap.pop() as Appointment;
  if (heap.length === 0) return;
  heap[0] = last;
  let parent = 0;
  for (;;) {
    let least = parent;
    for (const child of [2 * parent + 1, 2 * parent + 2]) {
      if (child < heap.length && before(heap[child] as Appointment, heap[least] as Appointment)) least = child;
    }
    if (least === parent) return;
    swap(heap, parent, least);
    parent = least;
  }
}

function swap(heap: Appointment[], a: number, b: number): void {
  [heap[a], heap[b]] = [heap[b] as Appointment, heap[a] as Appointment];
}
