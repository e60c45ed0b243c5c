/**
 * Stands between the application and PostgreSQL, counts the messages of the protocol in both directions,
 * and strikes at the n-th: so that an act can be disturbed at every point at which it can be disturbed.
 */
import { once } from "node:events";
import { connect, createServer, type AddressInfo, type Server, type Socket } from "node:net";

/**
 * What happens at a message. `cut`: it never arrives, and the connection breaks on both sides. `kill`: the
 * database ends the session before the message goes on. `swallow`: what goes to the database still arrives and
 * is answered, but from here on the application hears nothing, and then the connection breaks.
 */
export type Blow = "cut" | "kill" | "swallow";

export interface Proxy {
  /** As the address that was given, by way of the proxy. */
  readonly url: string;
  /** From now on messages are counted from 1; the blow falls at that number. */
  arm(at: number, blow: Blow): void;
  /** No blow falls any more. Answers the session that was struck, or null where the count was not reached. */
  disarm(): number | null;
  /** How many messages there were since it was armed. */
  counted(): number;
  close(): Promise<void>;
}

/** `kill` ends a session of the database, and resolves when it is gone. */
export async function proxyFor(url: string, kill: (session: number) => Promise<void>): Promise<Proxy> {
  let counted = 0;
  let armed: { readonly at: number; readonly blow: Blow } | null = null;
  let struck: number | null = null;
  const open = new Set<Socket>();

  function talk(client: Socket): void {
    const server = connect(addressOf(url));
    let session = 0;
    let deaf = false;
    // One after the other, whichever side they come from: a message counted later never overtakes.
    let turn = Promise.resolve();
    const endBoth = () => [client, server].forEach((side) => side.destroy());
    for (const side of [client, server]) {
      open.add(side);
      side.on("error", endBoth).on("close", () => open.delete(side));
    }
    client.on("end", () => void (turn = turn.then(() => void server.end())));
    server.on("end", () => void (turn = turn.then(() => void client.end())));

    async function pass(message: Buffer, from: "client" | "server"): Promise<void> {
      if (client.destroyed && server.destroyed) return;
      if (from === "server" && message[0] === KEY_DATA) session = message.readInt32BE(5);
      counted += 1;
      if (armed !== null && struck === null && counted === armed.at) {
        struck = session;
        if (armed.blow === "cut") return endBoth();
        if (armed.blow === "kill") await kill(session);
        if (armed.blow === "swallow") deaf = true;
      }
      if (from === "client") server.write(message);
      else if (!deaf) client.write(message);
      else if (message[0] === READY) endBoth();
    }
    const read = (from: "client" | "server") => {
      // The very first message of a client has no letter in front.
      const split = messages(from === "client");
      return (chunk: Buffer) => {
        for (const message of split(chunk)) turn = turn.then(() => pass(message, from));
      };
    };
    client.on("data", read("client"));
    server.on("data", read("server"));
  }

  const listener: Server = createServer({ allowHalfOpen: true, noDelay: true }, talk).listen(0, "127.0.0.1");
  await once(listener, "listening");
  const { port } = listener.address() as AddressInfo;
  const here = Object.assign(new URL(url), { host: `127.0.0.1:${port}` });
  here.searchParams.delete("host");
  return {
    url: here.href,
    arm(at, blow) {
      [counted, struck, armed] = [0, null, { at, blow }];
    },
    disarm() {
      armed = null;
      return struck;
    },
    counted: () => counted,
    async close() {
      for (const side of open) side.destroy();
      listener.close();
      await once(listener, "close");
    },
  };
}

const KEY_DATA = "K".charCodeAt(0);
const READY = "Z".charCodeAt(0);

function addressOf(url: string): { path: string } | { host: string; port: number } {
  const { hostname, port, searchParams } = new URL(url);
  const folder = searchParams.get("host");
  return folder === null ? { host: hostname, port: Number(port || 5432) } : { path: `${folder}/.s.PGSQL.${port || 5432}` };
}

/** Cuts a stream into messages: a letter, and a length that counts itself. */
function messages(startsWithoutLetter: boolean): (chunk: Buffer) => Buffer[] {
  let rest: Buffer = Buffer.alloc(0);
  let letter = startsWithoutLetter ? 0 : 1;
  return (chunk) => {
    rest = Buffer.concat([rest, chunk]);
    const whole: Buffer[] = [];
    while (rest.length >= letter + 4) {
      const length = letter + rest.readInt32BE(letter);
      if (rest.length < length) break;
      whole.push(rest.subarray(0, length));
      rest = rest.subarray(length);
      letter = 1;
    }
    return whole;
  };
}
