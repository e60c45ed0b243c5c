"use client";
import type { ReactNode, SubmitEvent } from "react";
import { Button } from "../../../components/button.tsx";
import { Notice } from "../../../components/notice.tsx";
import { errorWords } from "../../../words.ts";

type ActFormProps = {
  children: ReactNode;
  /** The act in words, on the button. */
  act: string;
  pending: boolean;
  error: unknown;
  /** A sentence once it is done. */
  done?: string | null;
  onSubmit: (form: FormData) => void;
};

/** A small form that does one act and says what became of it. */
export function ActForm({ children, act, pending, error, done = null, onSubmit }: ActFormProps) {
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    onSubmit(new FormData(event.currentTarget));
  };
  return (
    <form className="grid max-w-2xl gap-5" onSubmit={submit}>
      {children}
      {error === null || error === undefined ? null : (
        <Notice kind="stop" title="Not recorded" announce>
          <p>{errorWords(error)}</p>
        </Notice>
      )}
      {done === null ? null : (
        <Notice kind="ok" announce>
          <p>{done}</p>
        </Notice>
      )}
      <div>
        <Button type="submit" tone="primary" pending={pending} pendingWords="Being recorded…">
          {act}
        </Button>
      </div>
    </form>
  );
}

/** A text of a form, without outer blanks. */
export function textOf(form: FormData, name: string): string {
  const value = form.get(name);
  return typeof value === "string" ? value.trim() : "";
}
