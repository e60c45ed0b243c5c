/** An evidence bundle as a page to read and to print: plain, and whole without any other file but the photographs. */
import type { ServiceRecord } from "@hangrail/db/service-record";
import type { LinkedEntry } from "@hangrail/rules/record-chain";

export interface Printed {
  readonly tag: string;
  readonly site: string;
  readonly madeAt: string;
  readonly madeBy: string;
  readonly record: ServiceRecord;
  readonly entries: readonly LinkedEntry[];
  /** People, components, models, faults by their ids. */
  readonly names: Readonly<Record<string, string>>;
  readonly photos: readonly string[];
  /** A sentence on the newest checkpoint. */
  readonly proof: string;
}

export function evidencePage({ tag, site, madeAt, madeBy, record, entries, names, photos, proof }: Printed): string {
  return `<!doctype html>
<html lang="en-GB"><head><meta charset="utf-8"><title>Record of ${escaped(tag)}</title>
<style>body{font:16px/1.5 sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem;color:#111;background:#fff}table{border-collapse:collapse;width:100%}th,td{border:1px solid #777;padding:.3rem .5rem;text-align:left;vertical-align:top;overflow-wrap:anywhere}code{font-size:.8rem}img{max-width:100%}</style></head><body>
<h1>Record of set ${escaped(tag)}, ${escaped(site)}</h1>
<p>Written out ${escaped(madeAt)} by ${escaped(madeBy)}. ${escaped(proof)}</p>
<p>This page is for reading. What counts as evidence are the entries in entries.jsonl; verify.mjs checks them and needs nothing but Node. Times are UTC.</p>
${table("Parts", ["Position", "Part", "Fitted", "Taken off", "Dives"], record.parts.map((one) => [one.position, one.part, one.fittedAt, one.takenOffAt, one.dives]))}
${table("Work", ["Day", "What", "Part", "By", "In words"], record.works.map((one) => [one.on, one.kind, one.part, one.by, one.words]))}
${table("Bench tests", ["When", "Phase", "Verdict", "By", "In words"], record.tests.map((one) => [one.at, one.phase, one.verdict, one.by, one.words]))}
${table("Faults", ["Reported", "Code", "Part", "In words", "By", "Cleared", "Outcome"], record.faults.map((one) => [one.at, one.code, one.part, one.words, one.by, one.clearedAt, one.outcome]))}
${table("Releases", ["When", "By", "In words"], record.releases.map((one) => [one.at, one.by, one.words]))}
${table("Washes", ["When", "By", "Disinfectant", "ppm"], record.washes.map((one) => [one.at, one.by, one.disinfectant, one.ppm]))}
<h2>Photographs</h2>${photos.length === 0 ? "<p>None.</p>" : photos.map((name) => `<figure><img src="${escaped(name)}" alt="Photograph of a fault"><figcaption>${escaped(name)}</figcaption></figure>`).join("\n")}
${table("Every entry", ["No.", "When", "Act", "By", "What", "Hash"], entries.map((one) => [one.seq, one.at, one.act, one.by === null ? null : (names[one.by] ?? one.by), inWords(one.content, names), one.hash]))}
</body></html>
`;
}

function table(title: string, heads: readonly string[], rows: readonly (readonly (string | number | null)[])[]): string {
  if (rows.length === 0) return `<h2>${title}</h2><p>None.</p>`;
  return `<h2>${title}</h2><table><thead><tr>${heads.map((head) => `<th scope="col">${head}</th>`).join("")}</tr></thead><tbody>
${rows.map((row) => `<tr>${row.map((cell) => `<td>${cell === null ? "" : escaped(String(cell))}</td>`).join("")}</tr>`).join("\n")}</tbody></table>`;
}

/** A content as "name: value", with names in the place of ids. */
function inWords(content: unknown, names: Readonly<Record<string, string>>): string {
  if (typeof content === "string") return names[content] ?? content;
  if (typeof content !== "object" || content === null) return String(content);
  if (Array.isArray(content)) return content.map((one) => inWords(one, names)).join(", ");
  return Object.entries(content)
    .filter(([, value]) => value !== null)
    .map(([name, value]) => `${name}: ${typeof value === "object" ? `(${inWords(value, names)})` : inWords(value, names)}`)
    .join("; ");
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
}
