"use client";
import type { BenchItem } from "@hangrail/rules/bench-test";
import { createContext, use } from "react";
import type { Units } from "../../../../../format.ts";
import type { Pasted, PastedCurve, Typed } from "./typed-test.ts";

/** What every entry of the form needs: what stands in it, what is wrong with it, and how it is judged. */
export interface TestEntries {
  readonly units: Units;
  readonly typed: Typed;
  readonly pasted: Pasted;
  /** Problems are told once the form was sent, or the entry was left. */
  readonly problemAt: (key: string) => string | null;
  /** What is wrong, told or not. */
  readonly problemNow: (key: string) => string | null;
  readonly itemAt: (key: string) => BenchItem | null;
  readonly type: (key: string, text: string) => void;
  readonly paste: (key: string, curve: PastedCurve | null) => void;
  readonly leave: (key: string) => void;
}

const Entries = createContext<TestEntries | null>(null);
export const EntriesProvider = Entries;

export function useEntries(): TestEntries {
  const entries = use(Entries);
  if (entries === null) throw new Error("An entry of a bench test stands outside its form.");
  return entries;
}
