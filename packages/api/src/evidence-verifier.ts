/**
 * The script that goes along in every evidence bundle and checks it with Node alone. It shares no code with
 * Hangrail on purpose: what it says must not hang on the program whose word is in question.
 */
export const VERIFIER = String.raw`// Checks this evidence bundle: node verify.mjs [--checkpoint FILE]
// Needs Node 18 or newer and nothing else. Ends with 0 when everything holds, with 1 when something does not.
import { createHash, createPublicKey, verify } from "node:crypto";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { dirname, join, relative, sep } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
let passed = 0;
let failed = 0;
const check = (holds, what) => {
  if (holds) passed += 1;
  else failed += 1;
  if (!holds) console.log("FAILED  " + what);
};
const say = (sentence) => console.log(sentence);
const bytesOf = (name) => readFileSync(join(here, name));
const jsonOf = (name) => JSON.parse(bytesOf(name).toString("utf8"));
const sha256 = (...parts) => {
  const hash = createHash("sha256");
  for (const part of parts) hash.update(part);
  return hash.digest("hex");
};
const hex = (text) => Buffer.from(text, "hex");

// RFC 8785: names sorted by UTF-16 code units, no blanks, numbers and escapes as ECMAScript writes them.
const canonical = (value) => {
  if (Array.isArray(value)) return "[" + value.map(canonical).join(",") + "]";
  if (typeof value === "object" && value !== null) return "{" + Object.keys(value).sort((a, b) => (a < b ? -1 : 1)).map((name) => JSON.stringify(name) + ":" + canonical(value[name])).join(",") + "}";
  return JSON.stringify(value);
};
const signed = (text, publicKey, signature) => {
  try {
    const key = createPublicKey({ key: hex("302a300506032b6570032100" + publicKey), format: "der", type: "spki" });
    return verify(null, Buffer.from(text, "utf8"), key, hex(signature));
  } catch {
    return false;
  }
};
const statement = ({ number, at, chains, entries, root, previous }) => canonical({ at, chains, entries, kind: "hangrail-checkpoint", number, previous, root, version: 1 });
const fingerprint = (digest) => digest.slice(0, 20).match(/.{4}/g).join(" ");

try {
  // The files are the ones the manifest names, byte for byte.
  const manifest = jsonOf("manifest.json");
  for (const [name, digest] of Object.entries(manifest.files)) check(existsSync(join(here, name)) && sha256(bytesOf(name)) === digest, name + " is not the file the manifest names");
  const files = (folder) => readdirSync(folder, { withFileTypes: true }).flatMap((one) => (one.isDirectory() ? files(join(folder, one.name)) : [relative(here, join(folder, one.name)).split(sep).join("/")]));
  const extra = files(here).filter((name) => !(name in manifest.files) && !["manifest.json", "manifest.signature.json"].includes(name));
  if (extra.length > 0) say("Not part of the bundle: " + extra.join(", "));

  // Every entry says what was hashed, and follows the one before it.
  const lines = bytesOf("entries.jsonl").toString("utf8").split("\n").filter(Boolean).map((line) => JSON.parse(line));
  let before = "0".repeat(64);
  let place = 0;
  for (const { entry, prevHash, hash } of lines) {
    place += 1;
    check(entry.chain === manifest.set.id && entry.seq === place, "entry " + place + " is missing, or another stands in its place");
    check(prevHash === before && sha256(hex(prevHash), canonical(entry)) === hash, "entry " + place + " (" + entry.act + ") was changed, or does not follow the one before it");
    before = hash;
  }
  say(manifest.set.tag + " of " + manifest.site + ": " + lines.length + " entries.");

  // Photographs are the ones the entries name.
  const taken = lines.filter(({ entry }) => entry.act === "photo-added").map(({ entry }) => entry.content.sha256).sort();
  const kept = Object.keys(manifest.files).filter((name) => name.startsWith("photos/")).map((name) => sha256(bytesOf(name))).sort();
  check(canonical(taken) === canonical(kept), "the photographs are not those the entries name");

  // A hirer's name opens the commitment in its entry. An erased one leaves the commitment closed; nothing else hangs on it.
  const hirers = jsonOf("hirers.json");
  let erased = 0;
  for (const { entry } of lines) {
    const commitment = entry.content.hirerCommitment;
    if (entry.act !== "handed-out" || commitment === undefined) continue;
    const hirer = hirers.find((one) => one.hire === entry.content.hire);
    if (!hirer || hirer.salt === null) erased += 1;
    else check(sha256(hex(hirer.salt), canonical({ contact: hirer.contact, name: hirer.name })) === commitment, "the hirer of entry " + entry.seq + " is not who it was");
  }
  if (erased > 0) say(erased + (erased === 1 ? " hirer's name was" : " hirers' names were") + " erased, as the centre's retention asks; the record holds without.");

  // The head of the chain at the newest checkpoint leads to its signed root.
  const proof = jsonOf("proof.json");
  if (proof === null) say("No checkpoint covers this set yet: a cut-off tail would not show.");
  else {
    const { checkpoint, head, index, size, path } = proof;
    check(head.chain === manifest.set.id && lines[head.seq - 1]?.hash === head.hash, "the entry the checkpoint covers is not in the record");
    let hash = sha256(hex("00"), canonical({ chain: head.chain, hash: head.hash, seq: head.seq }));
    let at = index;
    let used = 0;
    for (let last = size - 1; last > 0; at >>= 1, last >>= 1) {
      if (at === last && at % 2 === 0) continue;
      const neighbour = hex(path[used++] ?? "");
      hash = at % 2 === 0 ? sha256(hex("01"), hex(hash), neighbour) : sha256(hex("01"), neighbour, hex(hash));
    }
    check(index < size && size === checkpoint.chains && used === path.length && hash === checkpoint.root, "the path does not lead to the checkpoint's root");
    check(signed(statement(checkpoint), checkpoint.publicKey, checkpoint.signature), "the checkpoint's signature is not of its key");
    say("Checkpoint " + checkpoint.number + " of " + checkpoint.at + ", fingerprint " + fingerprint(sha256(statement(checkpoint))) + ", covers " + head.seq + " of " + lines.length + " entries.");
    say("Compare that fingerprint with a copy from elsewhere (paper, mail, an insurer): it is what shows a record written anew.");
    const given = process.argv.indexOf("--checkpoint");
    if (given > 0) {
      const outside = JSON.parse(readFileSync(process.argv[given + 1], "utf8"));
      check(statement(outside) === statement(checkpoint), "the checkpoint given is another one than the bundle's");
    }
  }

  // The manifest, and with it what is only for reading (facts.json, record.html), is signed with the same key.
  if (existsSync(join(here, "manifest.signature.json"))) {
    const { publicKey, signature } = jsonOf("manifest.signature.json");
    check(signed(bytesOf("manifest.json").toString("utf8"), publicKey, signature), "the manifest's signature is not of its key");
    if (proof !== null) check(publicKey === proof.checkpoint.publicKey, "the manifest is signed with another key than the checkpoint");
    say("Signed with the key " + publicKey.slice(0, 16) + "….");
  } else {
    check(!manifest.signed, "the manifest's signature is missing");
    say("The manifest is not signed: facts.json and record.html are for reading only.");
  }
} catch (error) {
  check(false, "the bundle cannot be read: " + error.message);
}
console.log(passed + " passed, " + failed + " failed");
process.exitCode = failed === 0 && passed > 0 ? 0 : 1;
`;
