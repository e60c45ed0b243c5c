"use client";
import { useQuery } from "@tanstack/react-query";
import { Link } from "../../../components/link.tsx";
import { Icon } from "../../../components/icon.tsx";
import { useWho } from "../../../components/who.tsx";
import { countText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { readBoardQuestion } from "../sets/board-question.ts";
import { fewNames, holdsTheBench } from "./gap-words.ts";
import { judgedModels } from "./limits-words.ts";

/** A step of every day (release, wash) is always open somewhere; the others are done once. */
type Step = { href: string; name: string; said: string; done: boolean; daily?: true };

/**
 * What lies between a fleet that was brought in and its first hand-out, in order, with how far
 * each step is. Where work is done every day it shows only while something is to be done once.
 */
export function WayToReady({ afterImport = false }: { afterImport?: boolean }) {
  const steps = useSteps();
  if (steps === null || steps.every((step) => step.done || (step.daily === true && !afterImport))) return null;
  return (
    <section aria-labelledby="way" className="sheet screen-only mb-8 grid gap-3">
      <h2 id="way">The way to the first hand-out</h2>
      <ol className="grid gap-2">
        {steps.map((step, at) => (
          <li key={step.name} className="flex items-center gap-3">
            <Icon name={step.done ? "tick" : "minus"} />
            <span>
              {at + 1}.{" "}
              <Link href={step.href} className="inline-flex min-h-12 items-center font-semibold">
                {step.name}
              </Link>{" "}
              <span className="text-soft">
                {step.done ? "done: " : ""}
                {step.said}
              </span>
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function useSteps(): Step[] | null {
  const trpc = useTRPC();
  const { staff } = useWho();
  const seesProducts = staff.roles.some((role) => role === "wash-room" || role === "technician" || role === "manager");
  const toBench = staff.roles.some((role) => role === "technician" || role === "manager");
  const models = useQuery(trpc.models.list.queryOptions());
  const pairings = useQuery(trpc.models.pairings.queryOptions());
  const products = useQuery(trpc.washRoom.products.queryOptions(undefined, { enabled: seesProducts }));
  const gaps = useQuery(trpc.models.gaps.queryOptions());
  const board = useQuery(trpc.sets.board.queryOptions({ ...readBoardQuestion(new URLSearchParams()), size: 1 }));
  if (models.data === undefined || pairings.data === undefined || gaps.data === undefined || board.data === undefined) return null;

  const { judged, of } = judgedModels(models.data);
  const unpaired = pairings.data.filter((pair) => pair.manualPage === null).length;
  const approved = new Set(products.data?.flatMap((product) => product.disinfectantApprovals.map((one) => one.modelId)));
  const fitted = models.data.filter((model) => model.sets > 0);
  const washable = fitted.filter((model) => approved.has(model.id)).length;
  const lacking = gaps.data.rows.filter(holdsTheBench);
  const toRelease = board.data.states["to-release"] ?? 0;
  const toWash = (board.data.states["to-clean"] ?? 0) + (board.data.states["in-bath"] ?? 0) + (board.data.states.drying ?? 0);
  return [
    { href: "/models", name: "Limits", said: `${judged} of ${countText(of, "model")} in use`, done: judged === of },
    { href: "/models/pairings", name: "Pairings", said: unpaired === 0 ? "every pair in use is approved" : `${countText(unpaired, "pair")} in use and not approved`, done: unpaired === 0 },
    ...(products.data === undefined ? [] : [{ href: "/wash-room/products", name: "Products for the wash", said: `${washable} of ${countText(of, "model")} have an approved product`, done: washable === fitted.length }]),
    { href: lacking[0] === undefined ? "/models" : `/models/${lacking[0].id}`, name: "Bench limits and kits", said: lacking.length === 0 ? "of every model in use" : `missing for ${fewNames(lacking)}`, done: lacking.length === 0 },
    { href: toBench ? "/bench" : "/sets?state=to-release", name: "Release", said: toRelease === 0 ? "no set waits for it" : `${countText(toRelease, "set")} to release`, done: toRelease === 0, daily: true },
    { href: "/wash-room", name: "Wash", said: washSaid(toWash, toRelease), done: toWash === 0 && toRelease === 0, daily: true },
  ];
}

function washSaid(toWash: number, toRelease: number): string {
  if (toWash > 0) return `${countText(toWash, "set")} to be washed`;
  return toRelease > 0 ? "follows the release" : "no set waits for it";
}
