/**
 * Bytes to text, for files saved by whatever program a shop has. The encoding is found from the
 * bytes alone and named in the answer, so that a wrong letter can be traced to it.
 */

export type SheetEncoding = "UTF-8" | "UTF-8 with mark" | "UTF-16 little-endian" | "UTF-16 big-endian" | "Windows-1252";

export type DecodedText =
  | { readonly ok: true; readonly text: string; readonly encoding: SheetEncoding }
  | { readonly ok: false; readonly code: "workbook" | "pdf" | "not-text" | "torn-text"; readonly sentence: string };

/** First bytes of files that are no text, with what to say of them. */
const OTHER_FILES: readonly (readonly [readonly number[], "workbook" | "pdf" | "not-text", string])[] = [
  [[0x50, 0x4b, 0x03, 0x04], "workbook", "This is a workbook file or another packed file, not a CSV file. Open it in your spreadsheet program and save it as “CSV UTF-8”."],
  [[0x50, 0x4b, 0x05, 0x06], "workbook", "This is an empty packed file, not a CSV file. Save the spreadsheet as “CSV UTF-8”."],
  [[0xd0, 0xcf, 0x11, 0xe0], "workbook", "This is an older workbook file, not a CSV file. Open it in your spreadsheet program and save it as “CSV UTF-8”."],
  [[0x25, 0x50, 0x44, 0x46], "pdf", "This is a PDF, not a CSV file. Save the spreadsheet itself as “CSV UTF-8”."],
  [[0x1f, 0x8b], "not-text", "This is a packed file, not a CSV file. Unpack it first."],
  [[0x89, 0x50, 0x4e, 0x47], "not-text", "This is a picture, not a CSV file."],
  [[0xff, 0xd8, 0xff], "not-text", "This is a picture, not a CSV file."],
];

const startsWith = (bytes: Uint8Array, start: readonly number[]): boolean => start.every((byte, at) => bytes[at] === byte);

/** Reads the bytes as text. Errors: none; what is no text is answered with a sentence. */
export function decodeText(bytes: Uint8Array): DecodedText {
  for (const [start, code, sentence] of OTHER_FILES) if (startsWith(bytes, start)) return { ok: false, code, sentence };
  if (startsWith(bytes, [0xff, 0xfe])) return fromUtf16(bytes, "UTF-16 little-endian");
  if (startsWith(bytes, [0xfe, 0xff])) return fromUtf16(bytes, "UTF-16 big-endian");
  if (bytes.includes(0)) return notText();
  const marked = startsWith(bytes, [0xef, 0xbb, 0xbf]);
  const utf8 = strictly("utf-8", bytes);
  if (utf8 !== null) return { ok: true, text: utf8, encoding: marked ? "UTF-8 with mark" : "UTF-8" };
  if (marked) return { ok: false, code: "torn-text", sentence: "The file says that it is UTF-8, but some of its bytes are not. It may be damaged. Save it again as “CSV UTF-8”." };
  return { ok: true, text: fromWindows1252(bytes), encoding: "Windows-1252" };
}

function notText(): DecodedText {
  return { ok: false, code: "not-text", sentence: "The file holds zero bytes, which no CSV file has. It is no text, or was saved in a form that is not known here. Save it as “CSV UTF-8”." };
}

/** null when the bytes are not valid in that encoding. */
function strictly(label: string, bytes: Uint8Array): string | null {
  try {
    return new TextDecoder(label, { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

function fromUtf16(bytes: Uint8Array, encoding: "UTF-16 little-endian" | "UTF-16 big-endian"): DecodedText {
  const text = strictly(encoding === "UTF-16 little-endian" ? "utf-16le" : "utf-16be", bytes);
  if (text === null) return { ok: false, code: "torn-text", sentence: "The file says that it is UTF-16, but its text is torn. It may be damaged. Save it again as “CSV UTF-8”." };
  return text.includes("\u0000") ? notText() : { ok: true, text, encoding };
}

/**
 * What Windows-1252 has in 0x80 to 0x9F, where Latin-1 has control characters. Written out because
 * some Node versions decode these bytes as Latin-1. Five have no character and stay as they are;
 * a cell that holds one is reported as unreadable.
 */
const HIGH_32 = "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ";

function fromWindows1252(bytes: Uint8Array): string {
  const latin1 = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString("latin1");
  return latin1.replace(/[\u0080-\u009f]/g, (character) => HIGH_32[character.charCodeAt(0) - 0x80] ?? character);
}
