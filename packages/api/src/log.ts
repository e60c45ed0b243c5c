/**
 * The log: one JSON line an act and a failure, on standard error. Ids alone, never a name, an input or
 * a secret: what was done stands in the record, the log says how the machine fared.
 */
import pino from "pino";

/** HANGRAIL_LOG: how much is told (error, warn, info, debug); "info" tells every act. */
const LEVELS = ["error", "warn", "info", "debug"] as const;
const asked = process.env["HANGRAIL_LOG"];
const level = LEVELS.find((one) => one === asked) ?? "info";

export const log = pino({ level, base: null, timestamp: pino.stdTimeFunctions.isoTime, formatters: { level: (label) => ({ level: label }) } }, process.stderr);
