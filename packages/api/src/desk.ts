import * as acts from "@hangrail/db/acts";
import { readySets } from "@hangrail/db/board";
import type { Database } from "@hangrail/db/database";
import { isKnownRequest, listOut, readSlip, returningLines } from "@hangrail/db/hires";
import { noteSecurity } from "@hangrail/db/people-acts";
import { loadSetsById, loadSetsByTag, type LoadedSet } from "@hangrail/db/set-facts";
import { readLife } from "@hangrail/db/set-life";
import { decideHandOut, type HoldCode } from "@hangrail/rules/hand-out";
import { countHire } from "@hangrail/rules/hire-count";
import { rankInstead } from "@hangrail/rules/instead";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { faultCode, hireTerms, id, tag, waterKind, whole, words, type HireTermsInput } from "./inputs.ts";
import { recordedTerms, setView, termsOf } from "./set-view.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

const tags = z.array(tag).min(1).max(20);
/** How many ready sets are weighed when others are proposed; a site's desk never looks through more. */
const WEIGHED = 80;
const PROPOSED = 6;

export const desk = router({
  /** What each scanned set is, and whether it may go on these terms. Unknown tags are named, not guessed. */
  lookUp: procedureFor("desk")
    .input(z.strictObject({ tags, hire: hireTerms.nullable() }))
    .query(async ({ ctx, input }) => {
      const wanted = [...new Set(input.tags)];
      const found = await loadSetsByTag(ctx.db, ctx.site.id, wanted);
      return {
        sets: found.map((set) => setView(set, input.hire)),
        unknown: wanted.filter((one) => !found.some((set) => set.tag === one)),
      };
    }),

  /** Ready sets that suit the hire, the one to give first in front. */
  instead: procedureFor("desk")
    .input(z.strictObject({ hire: hireTerms, except: z.array(tag).max(20) }))
    .query(async ({ ctx, input }) => {
      const ready = await loadSetsById(ctx.db, ctx.site.id, await readySets(ctx.db, ctx.site.id, WEIGHED));
      const suited = ready.filter((set) => !input.except.includes(set.tag) && isSuited(set, input.hire));
      const today = ready[0]?.today;
      const ranked = today === undefined ? [] : rankInstead(suited.map((set) => withDue(set)), today);
      return { suited: suited.length, sets: ranked.slice(0, PROPOSED) };
    }),

  /**
   * Hands the party's sets to a hirer, all or none, or says why not. A hold is an answer, not an error.
   * `seq` is what the screen showed: if a set moved on since, the screen is told what happened to it.
   */
  handOut: procedureFor("desk")
    .input(
      z.strictObject({
        requestId,
        hirer: words(120, 1),
        contact: words(200).nullable(),
        hire: hireTerms,
        sets: z.array(z.strictObject({ setId: id, seq: whole("Sequence", 0, 2 ** 31 - 1) })).min(1).max(20),
      }),
    )
    .mutation(async ({ ctx, input }) => {
      const who = ctx.who(input.requestId);
      const shown = input.sets.map(({ setId, seq }) => ({ id: setId, seq }));
      const party = await loadSetsById(ctx.db, ctx.site.id, shown.map((set) => set.id));
      // A repeat is answered as the first time, whatever has become of the sets since.
      const isRepeat = await isKnownRequest(ctx.db, input.requestId);
      const policy = policyOfAll(party, shown.length, isRepeat);
      const terms = recordedTerms(input.hire, input.hirer, input.contact, policy);
      if (!isRepeat) {
        const moved = party.filter((set) => set.seq !== shown.find((one) => one.id === set.id)?.seq);
        if (moved.length > 0) return stale(ctx.db, moved, shown);
        const held = party.filter((set) => !isSuited(set, input.hire));
        if (held.length > 0) {
          await noteHeld(ctx, held.map((set) => set.tag));
          return { answer: "hold" as const, sets: party.map((set) => setView(set, input.hire)), database: [] };
        }
      }
      const answer = await acts.handOut(ctx.db, who, terms, shown);
      if (answer.answer === "stale") {
        return stale(ctx.db, await loadSetsById(ctx.db, ctx.site.id, answer.sets.map((set) => set.id)), shown);
      }
      if (answer.answer === "hold") {
        await noteHeld(ctx, party.map((set) => set.tag));
        const now = await loadSetsById(ctx.db, ctx.site.id, shown.map((set) => set.id));
        return {
          answer: "hold" as const,
          sets: now.map((set) => setView(set, input.hire)),
          database: answer.holds.map(({ set, code, component }) => ({ setId: set, code: code as HoldCode, component })),
        };
      }
      return answer;
    }),

  /** Takes sets back. Dives not said are reckoned from the plan and marked; a problem opens a fault that tags the set out. */
  takeBack: procedureFor("desk")
    .input(
      z.strictObject({
        requestId,
        sets: z
          .array(
            z.strictObject({
              setId: id,
              dives: whole("Dives", 0, 1000).nullable(),
              minutes: whole("Minutes", 0, 100_000).nullable(),
              waterKind,
              problem: z.boolean("“Any problem?” has to be answered."),
              words: words(1000).nullable(),
              faultCode: faultCode.nullable(),
              component: id.nullable(),
              missing: z.array(id).max(12),
            }),
          )
          .min(1)
          .max(20),
      }),
    )
    .mutation(async ({ ctx, input }) => {
      const [sets, lines, isRepeat] = await Promise.all([
        loadSetsById(ctx.db, ctx.site.id, input.sets.map((set) => set.setId)),
        returningLines(ctx.db, input.sets.map((set) => set.setId), input.requestId),
        isKnownRequest(ctx.db, input.requestId),
      ]);
      const policy = policyOfAll(sets, input.sets.length, isRepeat);
      const back = input.sets.map((line): acts.ReturnLine => {
        const gotWet = line.waterKind !== "none";
        const count = countHire({ dives: line.dives, minutes: line.minutes, gotWet }, { dives: lines.get(line.setId)?.plannedDives ?? 1 }, policy);
        return {
          set: line.setId,
          dives: count.dives,
          minutes: count.minutes,
          estimated: count.divesEstimated || count.minutesEstimated,
          waterKind: line.waterKind,
          problem: line.problem,
          words: line.words,
          // Whatever the hirer says is wrong, the bench looks before anybody else breathes it.
          fault: line.problem ? { code: line.faultCode ?? "GN-04", severity: "out", component: line.component } : null,
          missing: line.missing,
        };
      });
      return acts.takeBack(ctx.db, ctx.who(input.requestId), back);
    }),

  /** Sets that are out, late ones first. */
  outNow: procedureFor("desk", "manager").query(({ ctx }) => listOut(ctx.db, ctx.site.id)),

  slip: procedureFor("desk", "manager")
    .input(z.strictObject({ hire: id }))
    .query(async ({ ctx, input }) => {
      const slip = await readSlip(ctx.db, ctx.site.id, input.hire);
      if (slip === null) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such hire here." });
      return slip;
    }),
});

/** The policy sets are judged by, when all that were named are of this site; a set of another is as good as none. */
function policyOfAll(found: readonly LoadedSet[], named: number, isRepeat: boolean): LoadedSet["policy"] {
  const first = found[0];
  if (first === undefined || found.length !== named || (!isRepeat && found.some((set) => !set.facts.here))) {
    throw new TRPCError({ code: "NOT_FOUND", message: "There is no such set here." });
  }
  return first.policy;
}

function isSuited(set: LoadedSet, hire: HireTermsInput): boolean {
  return decideHandOut(set.facts, set.components, termsOf(hire, set.policy), set.policy, set.today).answer === "hand-out";
}

function withDue(set: LoadedSet) {
  const { due, parts, setId, seq } = setView(set, null);
  return { tag: set.tag, setId, seq, dueOn: due.dueOn?.value ?? null, divesLeft: due.divesLeft?.value ?? null, parts };
}

/** What happened to sets since a screen showed them. */
async function stale(db: Database, now: readonly LoadedSet[], shown: readonly { readonly id: string; readonly seq: number }[]) {
  const sets = await Promise.all(
    now.map(async (set) => {
      const seen = shown.find((one) => one.id === set.id)?.seq ?? 0;
      const entries = (await readLife(db, set.id, null, 10)).filter((entry) => entry.seq > seen);
      return { setId: set.id, tag: set.tag, changes: entries.map(({ act, at, by }) => ({ act, at, by })) };
    }),
  );
  return { answer: "stale" as const, sets };
}

async function noteHeld(
  ctx: { readonly db: Database; readonly session: { readonly staff: { readonly id: string }; readonly deviceId: string | null }; readonly site: { readonly id: string } },
  held: readonly string[],
): Promise<void> {
  await noteSecurity(ctx.db, { kind: "hand-out-held", staff: ctx.session.staff.id, device: ctx.session.deviceId, site: ctx.site.id, detail: { tags: held } });
}
