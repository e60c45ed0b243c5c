/**
 * A backup is one file, a tar of plain parts, so that in ten years any machine can look into it. The last part, the
 * seal, is the SHA-256 of every byte before it; whoever opens a backup reckons the end of the file anew and
 * compares it, so no byte can change unnoticed.
 */
import { createHash, type Hash } from "node:crypto";
import { createReadStream, type ReadStream } from "node:fs";
import { open, type FileHandle } from "node:fs/promises";
import { Writable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { createGzip, constants } from "node:zlib";
import { OperatorError } from "../operator-error.ts";

const UNIT = 512;
const SEAL = "seal.sha256";
const FIRST = "README.txt";
export const MANIFEST = "manifest.json";
/** Header and content of the seal, and the two empty units that end a tar. */
const TAIL = 4 * UNIT;
/** From here on tar writes a size in binary. */
const OCTAL_SIZES = 8 ** 11;

const README = `Hangrail backup, format 1

A copy of a centre's database, taken at one moment. Bring it back with:
  npm run hangrail -- restore THIS-FILE --to AN-EMPTY-FOLDER
Each table is a gzip of PostgreSQL's COPY text; manifest.json lists them with their rows and SHA-256.
It holds names of hirers and staff: keep it as you keep the centre's keys.
`;

export interface WrittenPart {
  /** SHA-256 of the part as it lies in the file. */
  readonly sha256: string;
  readonly bytes: number;
}

/** A backup being written. The file is only worth something after `seal`. */
export class ArchiveWriter {
  readonly #file: FileHandle;
  readonly #path: string;
  readonly #at: number;
  #end = 0;

  private constructor(file: FileHandle, path: string, at: Date) {
    this.#file = file;
    this.#path = path;
    this.#at = Math.floor(at.getTime() / 1000);
  }

  /** Begins a new file that only its owner may read. `at` = the moment written beside every part. */
  static async create(path: string, at: Date): Promise<ArchiveWriter> {
    const writer = new ArchiveWriter(await open(path, "wx", 0o600), path, at);
    try {
      await writer.addText(FIRST, README);
    } catch (error) {
      await writer.close();
      throw error;
    }
    return writer;
  }

  async addText(name: string, text: string): Promise<void> {
    const content = Buffer.from(text);
    await this.#put(Buffer.concat([header(name, content.length, this.#at), padded(content)]), this.#end);
    this.#end += UNIT + paddedLength(content.length);
  }

  /** A part whose size shows only at its end: what `fill` writes, zipped. */
  async addZipped<T>(name: string, fill: (into: Writable) => Promise<T>): Promise<WrittenPart & { readonly filled: T }> {
    const begin = this.#end;
    this.#end += UNIT;
    const hash = createHash("sha256");
    let bytes = 0;
    const sink = new Writable({
      write: (chunk: Buffer, _encoding, done) => {
        hash.update(chunk);
        bytes += chunk.length;
        const at = this.#end;
        this.#end += chunk.length;
        this.#put(chunk, at).then(() => done(), done);
      },
    });
    const zip = createGzip({ level: constants.Z_BEST_SPEED, chunkSize: 65_536 });
    const written = pipeline(zip, sink);
    // Whichever fails first ends the other.
    const [filled] = await Promise.all([
      fill(zip).then(
        (all) => (zip.end(), all),
        (error: unknown) => {
          zip.destroy();
          throw error;
        },
      ),
      written,
    ]);
    await this.#put(Buffer.alloc(paddedLength(bytes) - bytes), this.#end);
    this.#end = begin + UNIT + paddedLength(bytes);
    await this.#put(header(name, bytes, this.#at), begin);
    return { sha256: hash.digest("hex"), bytes, filled };
  }

  /** Reads back what was written, seals it, and makes sure that it is on the disk. Answers the file's digest and size. */
  async seal(): Promise<WrittenPart> {
    await this.#file.sync();
    const digest = await digestOf(this.#path, this.#end);
    await this.#put(tail(digest, this.#at), this.#end);
    this.#end += TAIL;
    await this.#file.sync();
    await this.close();
    return { sha256: digest, bytes: this.#end };
  }

  async close(): Promise<void> {
    await this.#file.close();
  }

  async #put(bytes: Buffer, at: number): Promise<void> {
    for (let done = 0; done < bytes.length; ) done += (await this.#file.write(bytes, done, bytes.length - done, at + done)).bytesWritten;
  }
}

interface Part {
  readonly at: number;
  readonly bytes: number;
}

/** A backup that was read from end to end and is whole. */
export interface Archive {
  readonly path: string;
  /** What the seal says: SHA-256 of everything before it. */
  readonly digest: string;
  readonly parts: ReadonlyMap<string, Part>;
}

/** Opens a backup. Throws OperatorError for a file that is none, was cut short, or in which a single byte changed. */
export async function openArchive(path: string): Promise<Archive> {
  const file = await open(path, "r").catch((error: NodeJS.ErrnoException) => {
    throw new OperatorError(`The file ${path} cannot be read (${error.code ?? "unknown"}).`);
  });
  try {
    const { size } = await file.stat();
    const first = await readAt(file, 0, Math.min(2 * UNIT, size));
    if (nameIn(first) !== FIRST || !first.subarray(UNIT).toString().startsWith("Hangrail backup, format ")) {
      throw new OperatorError(`The file ${path} is no backup of Hangrail.`);
    }
    if (!first.subarray(UNIT).toString().startsWith("Hangrail backup, format 1\n")) {
      throw new OperatorError(`The backup ${path} was made by a newer Hangrail. Update this one; nothing was changed.`);
    }
    const end = await readAt(file, Math.max(0, size - TAIL), Math.min(TAIL, size));
    if (nameIn(end) !== SEAL) throw new OperatorError(`The backup ${path} is cut short or damaged at its end. Take another one; nothing was changed.`);
    const digest = await digestOf(path, size - TAIL);
    if (!end.equals(tail(digest, timeIn(first)))) throw new OperatorError(`The backup ${path} was changed or damaged since it was made. Take another one; nothing was changed.`);
    const parts = new Map<string, Part>();
    for (let at = 0; at < size - TAIL; ) {
      const head = await readAt(file, at, UNIT);
      const bytes = sizeIn(head);
      parts.set(nameIn(head), { at: at + UNIT, bytes });
      at += UNIT + paddedLength(bytes);
    }
    return { path, digest, parts };
  } finally {
    await file.close();
  }
}

export function requirePart(archive: Archive, name: string): Part {
  const part = archive.parts.get(name);
  if (!part) throw new OperatorError(`The backup ${archive.path} lacks its part ${name}. Take another one; nothing was changed.`);
  return part;
}

/** A part as it lies in the file. With `hash`, what passes through is hashed too. */
export function readPart(archive: Archive, name: string, hash?: Hash): ReadStream {
  const part = requirePart(archive, name);
  const bytes = createReadStream(archive.path, { start: part.at, end: part.at + part.bytes - 1 });
  bytes.on("data", (chunk) => hash?.update(chunk));
  return bytes.pause();
}

async function digestOf(path: string, bytes: number): Promise<string> {
  const hash = createHash("sha256");
  if (bytes > 0) for await (const chunk of createReadStream(path, { end: bytes - 1, highWaterMark: 1_048_576 })) hash.update(chunk as Buffer);
  return hash.digest("hex");
}

function tail(digest: string, at: number): Buffer {
  const content = Buffer.from(digest);
  return Buffer.concat([header(SEAL, content.length, at), padded(content), Buffer.alloc(2 * UNIT)]);
}

/** A tar header of a plain file. */
function header(name: string, bytes: number, at: number): Buffer {
  const head = Buffer.alloc(UNIT);
  head.write(name, 0, 100);
  head.write("0000600\0", 100);
  head.write("0000000\0", 108);
  head.write("0000000\0", 116);
  if (bytes < OCTAL_SIZES) head.write(`${bytes.toString(8).padStart(11, "0")}\0`, 124);
  else {
    head.writeUInt8(0x80, 124);
    head.writeBigUInt64BE(BigInt(bytes), 128);
  }
  head.write(`${at.toString(8).padStart(11, "0")}\0`, 136);
  head.write("        ", 148);
  head.write("0", 156);
  head.write("ustar\x0000", 257);
  const sum = head.reduce((all, byte) => all + byte, 0);
  head.write(`${sum.toString(8).padStart(6, "0")}\0 `, 148);
  return head;
}

const nameIn = (head: Buffer): string => head.subarray(0, 100).toString().replace(/\0[\s\S]*$/, "");
const timeIn = (head: Buffer): number => Number.parseInt(head.subarray(136, 147).toString(), 8) || 0;
const sizeIn = (head: Buffer): number => (head[124] === 0x80 ? Number(head.readBigUInt64BE(128)) : Number.parseInt(head.subarray(124, 135).toString(), 8));
const paddedLength = (bytes: number): number => Math.ceil(bytes / UNIT) * UNIT;
const padded = (content: Buffer): Buffer => Buffer.concat([content], paddedLength(content.length));

async function readAt(file: FileHandle, at: number, bytes: number): Promise<Buffer> {
  const buffer = Buffer.alloc(bytes);
  for (let done = 0; done < bytes; ) {
    const { bytesRead } = await file.read(buffer, done, bytes - done, at + done);
    if (bytesRead === 0) break;
    done += bytesRead;
  }
  return buffer;
}
