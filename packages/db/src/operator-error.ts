/**
 * A problem that the person who runs Hangrail can mend. The message is a whole
 * sentence for that person: what is wrong, where, and what to do. It carries no password.
 */
export class OperatorError extends Error {
  override readonly name = "OperatorError";
}
