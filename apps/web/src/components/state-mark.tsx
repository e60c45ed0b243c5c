import type { SetState } from "@hangrail/rules/set-state";
import { stateLook } from "../words.ts";
import { Icon } from "./icon.tsx";

/** A set's state: word, shape and tone together, so that no one of them is needed alone. */
export function StateMark({ state, size = "plain" }: { state: SetState; size?: "plain" | "large" }) {
  const { word, icon, tone } = stateLook(state);
  const large = size === "large";
  return (
    <span className={`tinted inline-flex w-fit items-center gap-2 rounded-lg font-bold whitespace-nowrap ${large ? "px-4 py-2 text-2xl" : "px-2.5 py-1"}`} data-tone={tone} data-state={state}>
      <Icon name={icon} size={large ? 32 : 22} />
      {word}
    </span>
  );
}
