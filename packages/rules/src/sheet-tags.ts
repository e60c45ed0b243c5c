/**
 * The tag of a set: capital letters, digits and hyphens, 1 to 20 of them.
 *
 * Case and gaps are made alike, nothing more: "r 14", "R-14" and "r–14" are R-14. "R14" and "R-014" are
 * not. They may be the same set written twice or two sets, and either guess is bad: one puts two sets'
 * parts together, the other makes half sets. So tags that differ only in hyphens and leading noughts are asked about.
 */
import { SHEET_LIMITS, examplesOf } from "./sheet-report.ts";
import type { SheetCell, SheetColumn, SheetQuestion } from "./sheet-report.ts";
import { tidy } from "./sheet-text.ts";

const TAG_FORM = /^[A-Z0-9-]{1,20}$/;

/** What the caller says about tags that look alike. */
export type TagsAlike = "same-set" | "different-sets";

/** The tag in its normal form, or null when it cannot be one. */
export function normalTag(text: string): string | null {
  const tag = tidy(text)
    .normalize("NFKC")
    .toUpperCase()
    .replace(/[\u2010-\u2015\u2212]/g, "-")
    .replace(/ *- */g, "-")
    .replace(/[ _]+/g, "-");
  return TAG_FORM.test(tag) && /[A-Z0-9]/.test(tag) ? tag : null;
}

/** What tags that look alike have in common: R-14, R14 and R-014 all give R14. A hyphen between two numbers counts: 1-14 is not 11-4. */
export function tagLikeness(tag: string): string {
  return tag.replace(/(?<!\d)-|-(?!\d)/g, "").replace(/(?<!\d)0+(?=\d)/g, "");
}

/** Tags of the sheet and of the record that look alike without being the same. */
export interface AlikeTags {
  /** Spelling to use for each tag; itself unless the caller said that alike tags are the same set. */
  readonly spelling: (tag: string) => string;
  readonly questions: readonly SheetQuestion[];
}

/**
 * Finds tags that look alike.
 *
 * `found` holds each tag of the sheet with the first cell it stands in; `recorded` are those of the record.
 * When the caller says "same-set" the recorded spelling wins, else the one that stands first in the sheet.
 */
export function tagsThatLookAlike(
  column: SheetColumn,
  found: ReadonlyMap<string, SheetCell>,
  recorded: ReadonlySet<string>,
  told: TagsAlike | undefined,
): AlikeTags {
  const alike = new Map<string, string[]>();
  // The record first: where several are alike its spelling is the one kept.
  for (const tag of [...recorded, ...found.keys()]) {
    const like = alike.get(tagLikeness(tag));
    if (!like) alike.set(tagLikeness(tag), [tag]);
    else if (!like.includes(tag)) like.push(tag);
  }
  // Two recorded tags may look alike; that was settled when they were made.
  const doubtful = [...alike.values()].filter((tags) => tags.length > 1 && tags.some((tag) => found.has(tag) && !recorded.has(tag)));
  if (told === "same-set") {
    const kept = new Map(doubtful.flatMap((tags) => tags.filter((tag) => !recorded.has(tag)).map((tag) => [tag, tags[0] ?? tag] as const)));
    return { spelling: (tag) => kept.get(tag) ?? tag, questions: [] };
  }
  const asked = told === "different-sets" ? [] : doubtful.slice(0, SHEET_LIMITS.columns);
  return { spelling: (tag) => tag, questions: asked.map((tags) => question(column, tags, found)) };
}

function question(column: SheetColumn, tags: readonly string[], found: ReadonlyMap<string, SheetCell>): SheetQuestion {
  const where = (tag: string): string => {
    const cell = found.get(tag);
    return cell ? `${tag} (row ${cell.row})` : `${tag} (already recorded)`;
  };
  return {
    code: "tags-alike",
    column: column.letter,
    header: column.header,
    about: tags.join(" "),
    examples: examplesOf(tags.flatMap((tag) => found.get(tag) ?? [])),
    choices: ["same-set", "different-sets"],
    sentence: `Column ${column.letter}: ${tags.map(where).join(" and ")} look alike. Are they one set written differently, or different sets?`,
  };
}
