import { createHash } from "node:crypto";
import type { Sha256 } from "@hangrail/rules/record-chain";

/** SHA-256 as the rules of the record ask for it. */
export const sha256: Sha256 = (parts) => {
  const hash = createHash("sha256");
  for (const part of parts) {
    if (typeof part === "string") hash.update(part, "utf8");
    else hash.update(part.hex, "hex");
  }
  return hash.digest("hex");
};
