/** COPY through node-postgres: whole tables as text, streamed, with neither side running ahead of the other. */
import { once } from "node:events";
import type { Writable } from "node:stream";
import type pg from "pg";

/** What node-postgres calls back, and the copy messages its types leave out. */
interface CopyConnection extends pg.Connection {
  sendCopyFromChunk(chunk: Buffer): void;
  endCopyFrom(): void;
  sendCopyFail(why: string): void;
}
interface Complete {
  readonly text: string;
}

/** Rows are gathered to blocks of this size before they are passed on. */
const BLOCK = 65_536;

/** Streams `COPY … TO STDOUT` into a stream and answers the number of rows. Leaves the stream open. */
export function copyOut(client: pg.ClientBase, sql: string, into: Writable): Promise<number> {
  return new Promise((done, failed) => {
    let block: Buffer[] = [];
    let size = 0;
    let rows = 0;
    const flush = (): boolean => {
      const whole = Buffer.concat(block, size);
      block = [];
      size = 0;
      return whole.length === 0 || into.write(whole);
    };
    client.query({
      submit(connection: pg.Connection) {
        into.once("error", (error) => {
          failed(error);
          // What cannot be written need not be sent either.
          connection.stream.destroy();
        });
        connection.query(sql);
      },
      // The driver uses its buffer again, so what is kept is copied.
      handleCopyData({ chunk }: { chunk: Buffer }, connection: pg.Connection) {
        block.push(Buffer.from(chunk));
        size += chunk.length;
        if (size < BLOCK || flush()) return;
        connection.stream.pause();
        into.once("drain", () => connection.stream.resume());
      },
      handleCommandComplete: ({ text }: Complete) => void (rows = rowsIn(text)),
      handleReadyForQuery(connection: pg.Connection) {
        flush();
        // The last rows may have come with the end: a stream that is ended never says that it has drained.
        connection.stream.resume();
        done(rows);
      },
      handleError: failed,
    });
  });
}

/** Streams chunks into `COPY … FROM STDIN` and answers the number of rows. */
export function copyIn(client: pg.ClientBase, sql: string, chunks: AsyncIterable<Buffer>): Promise<number> {
  return new Promise((done, failed) => {
    const over = new AbortController();
    let broken: unknown;
    let rows = 0;
    const pump = async (connection: CopyConnection): Promise<void> => {
      try {
        for await (const chunk of chunks) {
          if (over.signal.aborted) return;
          connection.sendCopyFromChunk(chunk);
          if (connection.stream.writableNeedDrain) await once(connection.stream, "drain", { signal: over.signal });
        }
        connection.endCopyFrom();
      } catch (error) {
        if (over.signal.aborted) return;
        broken = error;
        connection.sendCopyFail("the rows could not be read");
      }
    };
    client.query({
      submit: (connection: pg.Connection) => connection.query(sql),
      handleCopyInResponse: (connection: CopyConnection) => void pump(connection),
      handleCommandComplete: ({ text }: Complete) => void (rows = rowsIn(text)),
      handleReadyForQuery: () => done(rows),
      handleError(error: Error) {
        over.abort();
        failed(broken ?? error);
      },
    });
  });
}

/** "COPY 123" → 123. */
function rowsIn(tag: string): number {
  return Number(/^COPY (\d+)$/.exec(tag)?.[1] ?? Number.NaN);
}
