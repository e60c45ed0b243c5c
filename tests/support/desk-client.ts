/** Calls over HTTP as a screen makes them: JSON, a session's cookie, one act a request. */
import type { AppRouter } from "@hangrail/api/router";
import type { inferRouterInputs, inferRouterOutputs } from "@trpc/server";
import { SESSION_COOKIE } from "./sign-in.ts";

type Inputs = inferRouterInputs<AppRouter>;
type Outputs = inferRouterOutputs<AppRouter>;
/** What comes over the wire: instants are text there. */
export type Sent<T> = T extends Date ? string : T extends readonly (infer One)[] ? Sent<One>[] : T extends object ? { [K in keyof T]: Sent<T[K]> } : T;

export type HandOutInput = Inputs["desk"]["handOut"];
export type HandOutAnswer = Sent<Outputs["desk"]["handOut"]>;

export interface Answered<T> {
  readonly status: number;
  /** What the procedure answered; null when it did not. */
  readonly data: T | null;
  /** The whole body as it came. */
  readonly body: string;
}

/** `next` answers the change after the last one; null when the stream has ended. */
export interface Stream {
  next(): Promise<{ act: string } | null>;
  close(): Promise<void>;
}

/** One signed-in screen. */
export class DeskClient {
  readonly origin: string;
  readonly cookie: string;

  constructor(origin: string, token: string) {
    this.origin = origin;
    this.cookie = `${SESSION_COOKIE}=${token}`;
  }

  /** Reads; `input` as the procedure at `path` takes it. */
  ask<T>(path: string, input?: unknown): Promise<Answered<T>> {
    const query = input === undefined ? "" : `?input=${encodeURIComponent(JSON.stringify(input))}`;
    return this.#answered(fetch(`${this.origin}/api/trpc/${path}${query}`, { headers: { cookie: this.cookie } }));
  }

  /** Acts. */
  act<T>(path: string, input?: unknown): Promise<Answered<T>> {
    return this.#answered(
      fetch(`${this.origin}/api/trpc/${path}`, {
        method: "POST",
        headers: { cookie: this.cookie, "content-type": "application/json", origin: this.origin, "sec-fetch-site": "same-origin" },
        ...(input === undefined ? {} : { body: JSON.stringify(input) }),
      }),
    );
  }

  handOut(input: HandOutInput): Promise<Answered<HandOutAnswer>> {
    return this.act("desk.handOut", input);
  }

  /** The stream of changes, opened. */
  async listen(): Promise<Stream> {
    const stop = new AbortController();
    const answer = await fetch(`${this.origin}/api/trpc/live.changes`, { headers: { cookie: this.cookie, accept: "text/event-stream" }, signal: stop.signal });
    if (!answer.ok || answer.body === null) throw new Error(`The stream was not opened: ${answer.status} ${await answer.text()}`);
    const events = readEvents(answer.body);
    return {
      async next() {
        for await (const data of events) {
          const change = JSON.parse(data) as { act?: string };
          if (change.act !== undefined) return { act: change.act };
        }
        return null;
      },
      async close() {
        stop.abort();
        await answer.body?.cancel().catch(() => undefined);
      },
    };
  }

  async #answered<T>(asked: Promise<Response>): Promise<Answered<T>> {
    const answer = await asked;
    const body = await answer.text();
    const parsed = isJson(answer) ? (JSON.parse(body) as { result?: { data?: T } }) : {};
    return { status: answer.status, data: parsed.result?.data ?? null, body };
  }
}

function isJson(answer: Response): boolean {
  return answer.headers.get("content-type")?.startsWith("application/json") === true;
}

/** The data of each event of a stream; pings are left out, an error ends it. Each loop over it reads on where the last one left. */
function readEvents(body: ReadableStream<Uint8Array>): AsyncIterable<string> {
  const reader = body.pipeThrough(new TextDecoderStream() as ReadableWritablePair<string, Uint8Array>).getReader();
  let rest = "";
  const waiting: string[] = [];
  const next = async (): Promise<IteratorResult<string>> => {
    for (;;) {
      const one = waiting.shift();
      if (one !== undefined) return { done: false, value: one };
      const { done, value } = await reader.read();
      if (done) return { done: true, value: undefined };
      const blocks = (rest + value).split("\n\n");
      rest = blocks.pop() ?? "";
      for (const block of blocks) {
        const lines = block.split("\n");
        const kind = lines.find((line) => line.startsWith("event:"))?.slice(6).trim();
        const data = lines.find((line) => line.startsWith("data:"))?.slice(5).trim();
        if (kind === "serialized-error") throw new Error(`The stream said: ${data}`);
        if (kind === undefined && data !== undefined) waiting.push(data);
      }
    }
  };
  return { [Symbol.asyncIterator]: () => ({ next }) };
}
