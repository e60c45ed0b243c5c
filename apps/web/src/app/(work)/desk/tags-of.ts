/** The tags an address names, `?sets=R-014,R-015`: at most twenty, each once; anything else is left out. */
export function tagsOf(text: string | readonly string[] | undefined): readonly string[] {
  const tags = [text ?? []].flat().flatMap((one) => one.split(","));
  const tidy = tags.map((tag) => tag.trim().toUpperCase()).filter((tag) => /^[A-Z0-9][A-Z0-9-]{0,19}$/.test(tag));
  return [...new Set(tidy)].slice(0, mostSets);
}

/** A party has at most so many sets. */
export const mostSets = 20;

/** The address of a desk page with these sets on it. */
export function withTags(path: "/desk" | "/desk/back", tags: readonly string[]): string {
  return tags.length === 0 ? path : `${path}?sets=${tags.join(",")}`;
}
