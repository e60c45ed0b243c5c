/** Files in and out of the browser. */

/** The largest sheet that is read, in bytes. */
export const mostBytes = 5 * 1024 * 1024;

/** A file's bytes in base64, as procedures take them. Rejects when the browser cannot read it (moved, or on a stick pulled out). */
export function base64Of(file: Blob): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => {
      const text = typeof reader.result === "string" ? reader.result : "";
      resolve(text.slice(text.indexOf(",") + 1));
    };
    reader.onerror = () => reject(reader.error ?? new Error("The file could not be read."));
    reader.readAsDataURL(file);
  });
}

/** Gives the reader a file made of these bytes. */
export function download(fileName: string, base64: string): void {
  const bytes = Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));
  offer(fileName, new Blob([bytes], { type: "text/csv" }));
}

/** Gives the reader a sheet with nothing but its header. The mark at its start tells spreadsheet programs that it is UTF-8. */
export function downloadHeader(fileName: string, titles: readonly string[]): void {
  offer(fileName, new Blob([`\ufeff${titles.join(",")}\r\n`], { type: "text/csv" }));
}

function offer(fileName: string, blob: Blob): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = url;
  link.download = fileName;
  link.click();
  // The browser has taken the blob by the time the click is over; the address may go a moment later.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
