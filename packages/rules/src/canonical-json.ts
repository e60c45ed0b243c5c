/**
 * Writes JSON down in the one way RFC 8785 lays down, so that the same content has the same bytes,
 * whoever reckons its hash: names sorted by their UTF-16 code units, no blanks, numbers and escapes as
 * ECMAScript writes them.
 *
 * Answer: the text; its bytes are its UTF-8.
 * Errors: throws NotCanonical for what has no such text: a number that is none, half a surrogate pair,
 *         `undefined`, functions and objects of a class. Nothing is guessed or left out.
 * Source: RFC 8785 (JSON Canonicalization Scheme), sections 3.2.2 and 3.2.3. The SQL function
 *         `canonical_json` does the same; a test holds the two equal.
 */
export function canonicalJson(value: unknown): string {
  switch (typeof value) {
    case "string":
      return canonicalString(value);
    case "number":
      // ECMAScript's own way to write a double is the one RFC 8785 takes over; −0 is written 0.
      if (!Number.isFinite(value)) throw new NotCanonical(`${value} is no number of JSON`);
      return String(Object.is(value, -0) ? 0 : value);
    case "boolean":
      return value ? "true" : "false";
    case "object":
      if (value === null) return "null";
      if (Array.isArray(value)) return `[${value.map(canonicalJson).join(",")}]`;
      return canonicalObject(value as Record<string, unknown>);
    default:
      throw new NotCanonical(`${typeof value} is no kind of JSON`);
  }
}

/** There is no canonical text for this. */
export class NotCanonical extends Error {
  override readonly name = "NotCanonical";
}

function canonicalObject(value: Record<string, unknown>): string {
  const kind: unknown = Object.getPrototypeOf(value);
  if (kind !== Object.prototype && kind !== null) throw new NotCanonical("an object of a class is no kind of JSON");
  // Strings of ECMAScript compare by UTF-16 code units, as the scheme asks.
  const names = Object.keys(value).sort((a, b) => (a < b ? -1 : 1));
  return `{${names.map((name) => `${canonicalString(name)}:${canonicalJson(value[name])}`).join(",")}}`;
}

// Read by whole characters, only a half without its other half is a surrogate.
const HALF_PAIR = /\p{Surrogate}/u;

function canonicalString(value: string): string {
  if (HALF_PAIR.test(value)) throw new NotCanonical("half a surrogate pair is no character");
  return JSON.stringify(value);
}

/**
 * Whether a JSON text may hold a number that a double cannot tell from its neighbour. Reading such a
 * text loses the difference; PostgreSQL, which keeps every digit, is then asked instead.
 */
export function mayLoseDigits(json: string): boolean {
  return LONG_NUMBER.test(json);
}
const LONG_NUMBER = /\d[\d.]{15,}/;
