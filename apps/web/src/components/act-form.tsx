"use client";
import type { ReactNode, SubmitEvent } from "react";
import { whyNot } from "../refusal-words.ts";
import { Button, type ButtonSize } from "./button.tsx";
import { Notice } from "./notice.tsx";
import { useWho } from "./who.tsx";

/** What a form needs of `useMutation`. */
export type ActState = { isPending: boolean; error: unknown; data?: unknown };

type ActFormProps = {
  children: ReactNode;
  /** The act in words, on the button. */
  act: string;
  size?: ButtonSize;
  state: ActState;
  /** A sentence once it is done. */
  done?: string | null;
  onSubmit: (form: FormData) => void;
};

/**
 * A form that does one act and says what became of it: on its way, done, or why not.
 * `method="post"`, here and elsewhere: should it be sent before the script is there,
 * nothing that was typed ends up in the address.
 */
export function ActForm({ children, act, size = "plain", state, done = null, onSubmit }: ActFormProps) {
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    if (!state.isPending) onSubmit(new FormData(event.currentTarget));
  };
  return (
    <form method="post" className="grid max-w-2xl gap-5" onSubmit={submit}>
      {children}
      <WhyNot state={state} />
      {done === null ? null : (
        <Notice kind="ok" announce>
          <p>{done}</p>
        </Notice>
      )}
      <div>
        <Button type="submit" tone="primary" size={size} pending={state.isPending} pendingWords="Being recorded…">
          {act}
        </Button>
      </div>
    </form>
  );
}

/** Why an act was not recorded; nothing while there is nothing to say. */
export function WhyNot({ state }: { state: Omit<ActState, "isPending"> }) {
  const { site } = useWho();
  const sentence = whyNot(state, site.timeZone);
  if (sentence === null) return null;
  return (
    <Notice kind="stop" title="Not recorded" announce>
      <p>{sentence}</p>
    </Notice>
  );
}

/** A text of a form, without outer blanks. */
export function textOf(form: FormData, name: string): string {
  const value = form.get(name);
  return typeof value === "string" ? value.trim() : "";
}
