import { SET_STATES, type SetState } from "@hangrail/rules/set-state";
import type { Inputs } from "../../../trpc/types.ts";

export type BoardQuestion = Inputs["sets"]["board"];

export const boardPage = 50;
export const firstSort = "tag";

const sorts: readonly BoardQuestion["sort"][] = ["tag", "state", "dueOn", "divesLeft", "backOn", "lastAt"];

type Address = Pick<URLSearchParams, "get" | "getAll">;

/** What the address asks for. What it asks wrongly (an old link, a typing mistake) is left out. */
export function readBoardQuestion(address: Address): BoardQuestion {
  const page = Number(address.get("page"));
  const model = address.get("model") ?? "";
  return {
    search: (address.get("q") ?? "").trim().slice(0, 60) || null,
    states: statesIn(address),
    modelId: /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i.test(model) ? model : null,
    sort: sorts.find((one) => one === address.get("sort")) ?? firstSort,
    descending: address.get("down") === "1",
    page: Number.isSafeInteger(page) && page > 0 && page <= 100_000 ? page - 1 : 0,
    size: boardPage,
  };
}

function statesIn(address: Address): SetState[] {
  const asked = address.get("state")?.split(" ") ?? [];
  return SET_STATES.filter((state) => asked.includes(state));
}
