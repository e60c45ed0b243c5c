/** Whether a set goes together: as it is, and as a swap would leave it. */
import type { Database } from "@hangrail/db/database";
import { readAssembly, type NamedPart } from "@hangrail/db/bench-models";
import type { Role } from "@hangrail/rules/models";
import { judgeAssembly, type AssemblyDoubt, type AssemblyFault, type JudgedAssembly } from "@hangrail/rules/ports";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { id, position } from "./inputs.ts";
import { mustBeHere } from "./set-here.ts";
import { procedureFor, router } from "./trpc.ts";

export interface Swap {
  readonly setId: string;
  readonly off: string | null;
  readonly on: string | null;
  readonly position: Role;
}

/** A swap that would leave a set with parts that do not go together. */
export interface AssemblyRefused {
  readonly answer: "refused";
  readonly code: "does-not-fit";
  readonly facts: { readonly faults: readonly AssemblyFault[]; readonly names: Readonly<Record<string, string>> };
}

/** What holds by itself at the desk and stops no swap: a set is taken apart and put together in steps, and an approval may follow. */
const STOPS_NO_SWAP: ReadonlySet<AssemblyFault["code"]> = new Set<AssemblyFault["code"]>(["part-missing", "not-paired"]);

/**
 * Why a swap is refused, or null: a wrong thread, no port left, a place taken twice. What was amiss
 * before and gets no worse by it is not held against it; taking off alone never is.
 */
export async function assemblyRefusal(db: Pick<Database, "reads">, site: string, swap: Swap): Promise<AssemblyRefused | null> {
  if (swap.on === null) return null;
  const [before, after] = await Promise.all([readAssembly(db, site, swap.setId), readAssembly(db, site, swap.setId, swap)]);
  const faults = broughtBy(judgeAssembly(before), judgeAssembly(after));
  return faults.length === 0 ? null : { answer: "refused", code: "does-not-fit", facts: { faults, names: namesOf(after) } };
}

/** The faults of a set put together that were not there before, or were smaller. */
export function broughtBy(before: JudgedAssembly, after: JudgedAssembly): readonly AssemblyFault[] {
  return after.faults.filter((fault) => !STOPS_NO_SWAP.has(fault.code) && !before.faults.some((old) => isNoBetter(old, fault)));
}

function isNoBetter(old: AssemblyFault, now: AssemblyFault): boolean {
  if (old.code === "too-few-ports" && now.code === "too-few-ports") return old.plug === now.plug && old.used - old.there >= now.used - now.there;
  if (old.code === "place-taken-twice" && now.code === "place-taken-twice") return old.role === now.role && old.components.length >= now.components.length;
  return old.code === now.code && "component" in old && "component" in now && old.component === now.component;
}

const namesOf = (parts: readonly NamedPart[]): Record<string, string> => Object.fromEntries(parts.map(({ component, name }) => [component, name]));

export interface ShownAssembly {
  readonly verdict: JudgedAssembly["verdict"];
  readonly faults: readonly AssemblyFault[];
  readonly doubts: readonly AssemblyDoubt[];
  readonly names: Readonly<Record<string, string>>;
  /** The models behind the doubts, to be looked up. */
  readonly models: Readonly<Record<string, string>>;
  /** Ports of the one first stage; null where nobody recorded them. */
  readonly ports: { readonly hp: number | null; readonly lp: number | null; readonly lpHalfInch: number | null } | null;
}

export const assembly = router({
  /** How a set goes together now; with a swap, how it would after it, and whether the swap would be refused. */
  judge: procedureFor()
    .input(z.strictObject({ setId: id, swap: z.strictObject({ off: id.nullable(), on: id.nullable(), position }).nullable() }))
    .query(async ({ ctx, input }): Promise<ShownAssembly & { readonly refused: boolean }> => {
      await mustBeHere(ctx.db, ctx.site.id, input.setId);
      const before = await readAssembly(ctx.db, ctx.site.id, input.setId);
      const parts = input.swap === null ? before : await readAssembly(ctx.db, ctx.site.id, input.setId, input.swap);
      const isIn = (all: readonly NamedPart[], part: string | null) => part === null || all.some(({ component }) => component === part);
      if (!isIn(before, input.swap?.off ?? null)) throw new TRPCError({ code: "NOT_FOUND", message: "What comes off is not in this set any more." });
      if (!isIn(parts, input.swap?.on ?? null)) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such component at this site." });
      const judged = judgeAssembly(parts);
      const [first, ...others] = parts.filter(({ role }) => role === "first-stage");
      const build = others.length === 0 ? (first?.build ?? null) : null;
      return {
        ...judged,
        names: namesOf(parts),
        models: Object.fromEntries(parts.map(({ component, modelId }) => [component, modelId])),
        ports: build === null ? null : { hp: build.hpPorts, lp: build.lpPorts, lpHalfInch: build.lpHalfInchPorts },
        refused: input.swap !== null && input.swap.on !== null && broughtBy(judgeAssembly(before), judged).length > 0,
      };
    }),
});
