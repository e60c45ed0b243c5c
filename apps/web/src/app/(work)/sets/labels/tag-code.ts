import qrcode from "qrcode-generator";

/** Modules left white around a code. Source: ISO/IEC 18004, 4 modules. */
export const QUIET = 4;

/**
 * The code of a tag: rows of modules, true = dark, quiet zone not included.
 *
 * Level Q is still read with a quarter of it scratched or under a drop of water. What is in it is the
 * tag alone, as a scanner types it. Errors: what is no tag's character is refused by the library.
 */
export function tagCode(tag: string): readonly (readonly boolean[])[] {
  const code = qrcode(0, "Q");
  code.addData(tag, "Alphanumeric");
  code.make();
  const size = code.getModuleCount();
  return Array.from({ length: size }, (_, row) => Array.from({ length: size }, (_, column) => code.isDark(row, column)));
}

/** The dark modules as one path, in units of a module, quiet zone included. */
export function codePath(modules: readonly (readonly boolean[])[]): string {
  return modules.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x + QUIET} ${y + QUIET}h1v1h-1z`] : []))).join("");
}
