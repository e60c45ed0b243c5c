import { parseArgs } from "node:util";
import { OperatorError } from "@hangrail/db/operator-error";
import { complain, say } from "./messages.ts";
import { stopSignal } from "./stop-signal.ts";

interface Options {
  data?: string;
  fresh?: boolean;
}

/** A command of the operator. Its module is loaded when it is called, so that help is quick. */
interface Command {
  readonly does: string;
  readonly takes?: readonly (keyof Options)[];
  run(options: Options, stop: AbortSignal): Promise<void>;
}

const commands: Readonly<Record<string, Command>> = {
  start: {
    does: "serve a centre: its database, the screens, the address",
    takes: ["data"],
    run: async (options, stop) => (await import("./start.ts")).start(options, stop),
  },
  demo: {
    does: "serve an invented fleet to look around in",
    takes: ["data", "fresh"],
    run: async (options, stop) => (await import("./demo.ts")).demo(options, stop),
  },
  dev: {
    does: "serve an invented fleet and follow changes to the code",
    takes: ["data", "fresh"],
    run: async (options, stop) => (await import("./demo.ts")).dev(options, stop),
  },
  migrate: {
    does: "bring the centre's database up to date and leave",
    takes: ["data"],
    run: async (options) => (await import("./database-commands.ts")).migrateOnly(options),
  },
  database: {
    does: "run the centre's embedded database alone and print how to sign in to it",
    takes: ["data"],
    run: async (options, stop) => (await import("./database-commands.ts")).databaseOnly(options, stop),
  },
};

const help = `Usage: npm run hangrail -- COMMAND [options]

${Object.entries(commands)
  .map(([name, { does }]) => `  ${name.padEnd(10)} ${does}`)
  .join("\n")}

Options
  --data FOLDER  where the embedded database lies, instead of .hangrail in the clone
  --fresh        demo, dev: throw the demo's data away first
  --help         this page

Surroundings
  PORT, HANGRAIL_HOST    where the screens are served (3000 on 127.0.0.1)
  HANGRAIL_DATA          as --data, for a centre's own database
  DATABASE_URL           a PostgreSQL server instead of the embedded database (the application's sign-in)
  DATABASE_OWNER_URL     the sign-in of the role that owns the tables, for migrations
`;

/** Runs the command line and leaves the process's exit code: 0 done, 1 not done, 2 not understood. */
export async function main(line: readonly string[]): Promise<void> {
  try {
    const order = read(line);
    if (order === null) return say(help);
    await order.command.run(order.options, stopSignal());
  } catch (error) {
    complain(error);
    process.exitCode = error instanceof NotUnderstood ? 2 : 1;
  }
  // Whatever still lingers (a watched pipe, an idle connection) does not keep the prompt away.
  process.exit();
}

class NotUnderstood extends OperatorError {}

function read(line: readonly string[]): { command: Command; options: Options } | null {
  const { values, positionals } = parsed(line);
  const [name, ...more] = positionals;
  if (values.help || name === undefined || name === "help") return null;
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (!command) throw new NotUnderstood(`There is no command "${name}". The commands are ${Object.keys(commands).join(", ")}.`);
  if (more.length > 0) throw new NotUnderstood(`"${name}" takes no further words, but was given "${more.join(" ")}".`);
  const { help: _, ...options } = values;
  const foreign = (Object.keys(options) as (keyof Options)[]).find((option) => !command.takes?.includes(option));
  if (foreign) throw new NotUnderstood(`"${name}" has no option --${foreign}.`);
  return { command, options };
}

function parsed(line: readonly string[]) {
  try {
    return parseArgs({
      args: [...line],
      allowPositionals: true,
      options: { data: { type: "string" }, fresh: { type: "boolean" }, help: { type: "boolean", short: "h" } },
    });
  } catch (error) {
    throw new NotUnderstood(`${(error as Error).message.split(". ")[0]}. Try --help.`);
  }
}
