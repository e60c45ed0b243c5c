/**
 * What a scan at the desk means. One field takes them all, so the text alone decides:
 *
 * - `HAND-OUT`, the printed confirm code, hands the party out;
 * - `H:` in front, or several words, is the hirer;
 * - anything shaped like a tag is a set;
 * - everything else is said to be unreadable and does nothing.
 */
export type DeskScan =
  | { kind: "confirm" }
  | { kind: "hirer"; name: string }
  | { kind: "set"; tag: string }
  | { kind: "unreadable"; text: string };

/** Printed on the confirm card. No tag may be called so. */
export const confirmCode = "HAND-OUT";

const tagForm = /^[A-Z0-9][A-Z0-9-]{0,19}$/;
/** Two words with letters: a name. One word could be a tag, so it needs the H: in front. */
const severalWords = /^\p{L}[\p{L}\p{M}.'’-]*(\s+[\p{L}\p{N}][\p{L}\p{M}\p{N}.'’,-]*)+$/u;

/** Reads one scan or typed line, as it came. */
export function readScan(raw: string): DeskScan {
  const text = raw.trim().replaceAll(/\s+/g, " ");
  const large = text.toUpperCase();
  if (large === confirmCode) return { kind: "confirm" };
  const prefixed = /^h\s?:\s*(\S.*)$/i.exec(text)?.[1];
  if (prefixed !== undefined) return { kind: "hirer", name: prefixed };
  if (tagForm.test(large)) return { kind: "set", tag: large };
  return severalWords.test(text) ? { kind: "hirer", name: text } : { kind: "unreadable", text };
}
