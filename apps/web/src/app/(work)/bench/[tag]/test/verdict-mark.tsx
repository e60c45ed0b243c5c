import { verdictLook, type Verdict } from "../../../../../bench-test-words.ts";
import { Icon } from "../../../../../components/icon.tsx";

/** A verdict as a word with its shape. */
export function VerdictMark({ verdict }: { verdict: Verdict }) {
  const look = verdictLook(verdict);
  return (
    <span className="tinted inline-flex items-center gap-1.5 rounded-lg px-2.5 py-1 font-bold" data-tone={look.tone}>
      <Icon name={look.icon} size={20} /> {look.word}
    </span>
  );
}

/** A judged line: its shape and the whole sentence. */
export function VerdictLine({ verdict, children, id }: { verdict: Verdict; children: string; id?: string }) {
  const look = verdictLook(verdict);
  return (
    <p id={id} className="flex items-start gap-2">
      <Icon name={look.icon} size={20} />
      <span className={verdict === "fail" ? "font-semibold text-danger" : verdict === "pass" ? "" : "text-soft"}>{children}</span>
    </p>
  );
}
