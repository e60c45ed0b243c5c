"use client";
import { Notice } from "../../../components/notice.tsx";
import { useWho } from "../../../components/who.tsx";
import { washReasons, washReasonWords } from "../../../wash-words.ts";
import { errorWords } from "../../../words.ts";

/** Every reason why a wash act was not recorded; nothing while there is nothing to say. */
export function WhyNotWashed({ state }: { state: { error: unknown; data?: unknown } }) {
  const { site } = useWho();
  const sentences = state.error == null ? washReasons(state.data).map((reason) => washReasonWords(reason, site.timeZone)) : [errorWords(state.error)];
  if (sentences.length === 0) return null;
  return (
    <Notice kind="stop" title="Not recorded" announce>
      <ul className="grid gap-1">
        {sentences.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </Notice>
  );
}
