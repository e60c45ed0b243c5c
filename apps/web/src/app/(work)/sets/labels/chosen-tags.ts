/**
 * Which of a site's tags a person asked for, in the site's order; what names no set is told.
 *
 * "A-01, A-07" are two, "A-01 to A-07" is every tag of the list from the first to the second;
 * nothing asked for is every tag.
 */
export function chosenTags(asked: string, tags: readonly string[]): { readonly chosen: readonly string[]; readonly unknown: readonly string[] } {
  const words = asked.toUpperCase().split(/[\s,;]+/u).filter((word) => word !== "");
  if (words.length === 0) return { chosen: tags, unknown: [] };
  const wanted = new Set<number>();
  const unknown = new Set<string>();
  for (let at = 0; at < words.length; at += 1) {
    const from = tags.indexOf(words[at]!);
    const isRange = words[at + 1] === "TO" && at + 2 < words.length;
    const to = isRange ? tags.indexOf(words[at + 2]!) : from;
    if (from < 0) unknown.add(words[at]!);
    if (isRange && to < 0) unknown.add(words[at + 2]!);
    if (from >= 0 && to >= 0) for (let one = Math.min(from, to); one <= Math.max(from, to); one += 1) wanted.add(one);
    if (isRange) at += 2;
  }
  return { chosen: tags.filter((_, at) => wanted.has(at)), unknown: [...unknown] };
}
