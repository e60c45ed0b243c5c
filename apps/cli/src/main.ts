import { parseArgs } from "node:util";
import { OperatorError } from "@hangrail/db/operator-error";
import type { BackupOptions } from "./backup-commands.ts";
import type { FleetOptions } from "./fleet-commands.ts";
import { complain, say } from "./messages.ts";
import type { RecordOptions } from "./record-commands.ts";
import { stopSignal } from "./stop-signal.ts";

interface Options extends FleetOptions, BackupOptions, RecordOptions {
  fresh?: boolean;
}

/** A command of the operator. Its module is loaded when it is called, so that help is quick. */
interface Command {
  readonly does: string;
  readonly takes?: readonly (keyof Options)[];
  /** What follows the command's name, e.g. FILE; nothing unless said. */
  readonly names?: string;
  run(options: Options, stop: AbortSignal, named: string): Promise<void>;
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
  import: {
    does: "take a spreadsheet of sets and parts, or of past service, in: all or nothing",
    names: "FILE.csv",
    takes: ["data", "as", "site", "history", "dates", "decimal", "ignore-unknown"],
    run: async (options, _stop, file) => (await import("./fleet-commands.ts")).importSheet(file, options),
  },
  export: {
    does: "write a site's fleet as a spreadsheet that can be taken in again",
    names: "FILE.csv",
    takes: ["data", "as", "site"],
    run: async (options, _stop, file) => (await import("./fleet-commands.ts")).exportSheet(file, options),
  },
  verify: {
    does: "walk the whole record and say what does not hold",
    takes: ["data", "checkpoint"],
    run: async (options) => (await import("./record-commands.ts")).verifyCommand(options),
  },
  checkpoint: {
    does: "sign the record as it stands and write that out, to be kept elsewhere",
    takes: ["data", "out"],
    run: async (options) => (await import("./record-commands.ts")).checkpointCommand(options),
  },
  evidence: {
    does: "write a set's record out so that it can be checked without Hangrail",
    names: "TAG",
    takes: ["data", "out"],
    run: async (options, _stop, tag) => (await import("./record-commands.ts")).evidenceCommand(tag, options),
  },
  backup: {
    does: "copy the whole centre into one file, while it works",
    takes: ["data", "out"],
    run: async (options) => (await import("./backup-commands.ts")).backup(options),
  },
  restore: {
    does: "bring a backup back into an empty folder or database",
    names: "FILE",
    takes: ["to"],
    run: async (options, _stop, file) => (await import("./backup-commands.ts")).restore(file, options),
  },
  database: {
    does: "run the centre's embedded database alone and print how to sign in to it",
    takes: ["data"],
    run: async (options, stop) => (await import("./database-commands.ts")).databaseOnly(options, stop),
  },
};

const help = `Usage: npm run hangrail -- COMMAND [options]

${Object.entries(commands)
  .map(([name, { does, names }]) => `  ${[name, names].filter(Boolean).join(" ").padEnd(16)} ${does}`)
  .join("\n")}

Options
  --data FOLDER  where the embedded database lies, instead of .hangrail in the clone
  --fresh        demo, dev: throw the demo's data away first
  --as LOGIN     import, export: on whose word, the login name of a manager or technician
  --site NAME    import, export: the site, when that person has roles at several
  --history      import: the sheet is one of past services and inspections
  --dates ORDER  import: day-first or month-first, where the sheet does not show it
  --decimal MARK import: comma or point, where the sheet does not show it
  --ignore-unknown  import: leave columns out whose header is not known
  --checkpoint FILE  verify: a checkpoint that was kept elsewhere
  --out PATH     checkpoint, evidence: where to; evidence writes a folder, or one file that ends in .zip
  --out FOLDER   backup: where the file goes, instead of HANGRAIL_BACKUP_FOLDER or .hangrail/backups
  --to FOLDER    restore: a new or empty folder for the embedded database
  --help         this page

Surroundings
  PORT, HANGRAIL_HOST    where the screens are served (3000 on 127.0.0.1)
  HANGRAIL_DATA          as --data, for a centre's own database
  DATABASE_URL           a PostgreSQL server instead of the embedded database (the application's sign-in)
  HANGRAIL_CHECKPOINT_KEY  the Ed25519 key (PKCS #8) that signs checkpoints, where the database is a server of yours
  DATABASE_OWNER_URL     the sign-in of the role that owns the tables, for migrations and backups
  HANGRAIL_BACKUP_FOLDER where "start" puts a backup every day; none unless set
  HANGRAIL_BACKUP_KEEP   how many of them stay (14)
`;

/** Runs the command line and leaves the process's exit code: 0 done, 1 not done, 2 not understood. */
export async function main(line: readonly string[]): Promise<void> {
  try {
    const order = read(line);
    if (order === null) return say(help);
    await order.command.run(order.options, stopSignal(), order.named);
  } catch (error) {
    complain(error);
    process.exitCode = error instanceof NotUnderstood ? 2 : 1;
  }
  // Whatever still lingers (a watched pipe, an idle connection) does not keep the prompt away.
  process.exit();
}

class NotUnderstood extends OperatorError {}

function read(line: readonly string[]): { command: Command; options: Options; named: string } | null {
  const { values, positionals } = parsed(line);
  const [name, ...more] = positionals;
  if (values.help || name === undefined || name === "help") return null;
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (!command) throw new NotUnderstood(`There is no command "${name}". The commands are ${Object.keys(commands).join(", ")}.`);
  if (command.names && more.length !== 1) throw new NotUnderstood(`"${name}" is followed by one ${command.names}.`);
  if (!command.names && more.length > 0) throw new NotUnderstood(`"${name}" takes no further words, but was given "${more.join(" ")}".`);
  const { help: _, ...options } = values;
  const foreign = (Object.keys(options) as (keyof Options)[]).find((option) => !command.takes?.includes(option));
  if (foreign) throw new NotUnderstood(`"${name}" has no option --${foreign}.`);
  return { command, options, named: more[0] ?? "" };
}

function parsed(line: readonly string[]) {
  try {
    return parseArgs({
      args: [...line],
      allowPositionals: true,
      options: {
        data: { type: "string" },
        fresh: { type: "boolean" },
        to: { type: "string" },
        as: { type: "string" },
        site: { type: "string" },
        history: { type: "boolean" },
        dates: { type: "string" },
        decimal: { type: "string" },
        "ignore-unknown": { type: "boolean" },
        checkpoint: { type: "string" },
        out: { type: "string" },
        help: { type: "boolean", short: "h" },
      },
    });
  } catch (error) {
    throw new NotUnderstood(`${(error as Error).message.split(". ")[0]}. Try --help.`);
  }
}
