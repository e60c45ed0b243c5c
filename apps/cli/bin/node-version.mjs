// Plain JavaScript that old versions of Node can read: it is what they see first.

/** The oldest Node that Hangrail runs on, as [major, minor]. */
export const oldestNode = [20, 19];

/**
 * Why this version of Node will not do, as a sentence; null when it will.
 * @param {string} version As `process.versions.node` gives it: "20.19.0".
 * @returns {string | null}
 */
export function nodeVersionProblem(version) {
  const parts = version.split(".");
  const major = Number(parts[0]);
  const minor = Number(parts[1]);
  if (major > oldestNode[0] || (major === oldestNode[0] && minor >= oldestNode[1])) return null;
  return "Hangrail needs Node " + oldestNode.join(".") + " or newer; this is Node " + version + ". Install a newer one from your system or from nodejs.org.";
}
