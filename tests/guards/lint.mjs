// ESLint over the whole tree, and how many files it looked at: a green over nothing is a lie.
import { ESLint } from "eslint";

const eslint = new ESLint({ cwd: new URL("../..", import.meta.url).pathname });
const results = await eslint.lintFiles(["."]);
const bad = results.filter(({ errorCount, warningCount }) => errorCount + warningCount > 0);
const formatter = await eslint.loadFormatter("stylish");
process.stdout.write(await formatter.format(bad));
console.log(`${results.length} files linted, ${bad.length} with something to mend`);
process.exitCode = bad.length > 0 || results.length === 0 ? 1 : 0;
