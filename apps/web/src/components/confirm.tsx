"use client";
import { useEffect, useId, useRef, type ReactNode } from "react";
import { Button, type ButtonTone } from "./button.tsx";

type ConfirmProps = {
  open: boolean;
  title: string;
  /** What will follow, and whether it can be taken back. */
  children: ReactNode;
  /** The act in words: "Close this account", never "OK". */
  act: string;
  tone?: ButtonTone;
  pending?: boolean;
  onConfirm: () => void;
  onCancel: () => void;
};

/**
 * Asks before an act that cannot simply be taken back. The way back has the focus
 * and stands first, so that neither a stray Enter nor a drop of water confirms.
 */
export function Confirm({ open, title, children, act, tone = "primary", pending = false, onConfirm, onCancel }: ConfirmProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const element = dialog.current;
    if (element === null || element.open === open) return;
    if (open) element.showModal();
    else element.close();
  }, [open]);

  return (
    <dialog ref={dialog} aria-labelledby={id} onCancel={onCancel} onClose={() => open && onCancel()} className="sheet w-[min(36rem,calc(100vw-2rem))] text-ink">
      {open ? (
        <>
          <h2 id={id}>{title}</h2>
          <div className="mt-3 mb-6">{children}</div>
          <div className="flex flex-wrap justify-between gap-4">
            <Button autoFocus onClick={onCancel}>
              Go back
            </Button>
            <Button tone={tone} pending={pending} onClick={onConfirm}>
              {act}
            </Button>
          </div>
        </>
      ) : null}
    </dialog>
  );
}
