/**
 * Tells a barcode scanner from a person by its speed. A scanner types like a
 * keyboard, far faster than fingers, and ends with Enter.
 */
export type ScanBuffer = { text: string; lastAt: number };

export const emptyBuffer: ScanBuffer = { text: "", lastAt: Number.NEGATIVE_INFINITY };

/** Milliseconds between two keys of one scan. Fingers need more; slow scanners and busy tablets need some grace. */
export const longestGap = 50;
/** A tag is never shorter than this, and two keys can fall together by chance. */
export const shortestScan = 3;

/** The buffer after one printed character. A pause begins a new one. */
export function withKey(buffer: ScanBuffer, character: string, at: number): ScanBuffer {
  const continues = at - buffer.lastAt <= longestGap;
  return { text: continues ? buffer.text + character : character, lastAt: at };
}

/** Whether a scan is coming in at this moment: its keys belong to it, wherever the focus is. */
export function isScanning(buffer: ScanBuffer, at: number): boolean {
  return buffer.text.length >= 2 && at - buffer.lastAt <= longestGap;
}

/** What was scanned when Enter comes at this moment, or null when it was a person's Enter. */
export function scanned(buffer: ScanBuffer, at: number): string | null {
  return at - buffer.lastAt <= longestGap && buffer.text.length >= shortestScan ? buffer.text : null;
}

/** A tag as it is stored: outer blanks off, letters large. */
export function tidyTag(text: string): string {
  return text.trim().toUpperCase();
}
