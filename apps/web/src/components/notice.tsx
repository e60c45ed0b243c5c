import type { ReactNode } from "react";
import { Icon, type IconName } from "./icon.tsx";

export type NoticeKind = "info" | "warn" | "stop" | "ok";

const looks: Record<NoticeKind, { word: string; icon: IconName; tone: string }> = {
  info: { word: "Note", icon: "info", tone: "info" },
  warn: { word: "Take care", icon: "triangle", tone: "warn" },
  stop: { word: "Stop", icon: "octagon", tone: "stop" },
  ok: { word: "Done", icon: "tick", tone: "ready" },
};

type NoticeProps = {
  kind: NoticeKind;
  /** Stands in bold instead of the kind's own word. */
  title?: string;
  children?: ReactNode;
  /** Read out as soon as it appears: for what has just happened, not for what was there from the start. */
  announce?: boolean;
};

/** A sentence that matters, with an icon and a word beside its colour. */
export function Notice({ kind, title, children, announce = false }: NoticeProps) {
  const look = looks[kind];
  const role = announce ? (kind === "stop" ? "alert" : "status") : undefined;
  return (
    <div role={role} className="tinted flex gap-3 rounded-xl p-4" data-tone={look.tone}>
      <Icon name={look.icon} size={28} />
      <div className="min-w-0">
        <p className="font-bold">{title ?? look.word}</p>
        {children}
      </div>
    </div>
  );
}
