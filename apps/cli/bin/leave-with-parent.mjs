// Loaded into the web server's process: it must not outlive the Hangrail that started it, or the
// next one would find its port taken.
process.on("disconnect", () => process.exit(1));
