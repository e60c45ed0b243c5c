/** Packs files into a ZIP archive, each as it is: what an evidence bundle holds is small, or a photograph. */
import { crc32 } from "node:zlib";

/** The first day a ZIP can write; a bundle's own dates stand in its manifest. */
const DAY_ONE = 0x21;

export function zipOf(files: ReadonlyMap<string, Buffer>): Buffer {
  const parts: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const [name, bytes] of files) {
    const title = Buffer.from(name, "utf8");
    // Version 2.0, names in UTF-8, stored.
    const about = Buffer.alloc(26);
    about.writeUInt16LE(20, 0);
    about.writeUInt16LE(0x0800, 2);
    about.writeUInt16LE(DAY_ONE, 8);
    about.writeUInt32LE(crc32(bytes), 10);
    about.writeUInt32LE(bytes.length, 14);
    about.writeUInt32LE(bytes.length, 18);
    about.writeUInt16LE(title.length, 22);
    parts.push(Buffer.from("PK\x03\x04", "latin1"), about, title, bytes);
    const tail = Buffer.alloc(14);
    tail.writeUInt32LE(offset, 10);
    directory.push(Buffer.from("PK\x01\x02\x14\x00", "latin1"), about, tail, title);
    offset += 30 + title.length + bytes.length;
  }
  const size = directory.reduce((sum, { length }) => sum + length, 0);
  const end = Buffer.alloc(18);
  end.writeUInt16LE(files.size, 4);
  end.writeUInt16LE(files.size, 6);
  end.writeUInt32LE(size, 8);
  end.writeUInt32LE(offset, 12);
  return Buffer.concat([...parts, ...directory, Buffer.from("PK\x05\x06", "latin1"), end]);
}
