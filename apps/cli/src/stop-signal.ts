/**
 * Turns Ctrl+C, a polite kill and a closed terminal into one signal that every step listens to.
 * A second one does not wait: the database is told to stop and the process leaves.
 */
export function stopSignal(): AbortSignal {
  const asked = new AbortController();
  for (const name of ["SIGINT", "SIGTERM", "SIGHUP"] as const) {
    process.on(name, () => {
      if (asked.signal.aborted) process.exit(130);
      asked.abort();
    });
  }
  return asked.signal;
}

/** Resolves when Hangrail is told to stop. */
export function whenAsked(stop: AbortSignal): Promise<void> {
  return stop.aborted ? Promise.resolve() : new Promise((asked) => stop.addEventListener("abort", () => asked(), { once: true }));
}
