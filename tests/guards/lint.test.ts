import path from "node:path";
import { ESLint } from "eslint";
import { describe, expect, test } from "vitest";

/** Each case is code that must be caught, in the file it would stand in, and what the message has to point to. */
const root = path.resolve(import.meta.dirname, "../..");
const eslint = new ESLint({ cwd: root });

async function messages(file: string, code: string): Promise<string[]> {
  const [result] = await eslint.lintText(code, { filePath: path.join(root, file) });
  return (result?.messages ?? []).map(({ message }) => message);
}

type Case = [name: string, file: string, code: string, pointsTo: RegExp];

const planted: Case[] = [
  ["rules import a package", "packages/rules/src/planted.ts", 'import { z } from "zod";\nexport const a = z;\n', /only files beside this one/i],
  ["rules import a type of the database", "packages/rules/src/planted.ts", 'import type { Rows } from "@hangrail/db/rows";\nexport type A = Rows;\n', /packages\/db/],
  ["rules import from above", "packages/rules/src/planted.ts", 'export { a } from "../testing/index.ts";\n', /only files beside this one/i],
  ["rules import Node", "packages/rules/src/planted.ts", 'import { readFileSync } from "node:fs";\nexport const a = readFileSync;\n', /only files beside this one/i],
  ["rules import later", "packages/rules/src/planted.ts", 'export const a = () => import("./hand-out.ts");\n', /Import at the top/],
  ["rules read the clock", "packages/rules/src/planted.ts", "export const a = new Date();\n", /as an argument/],
  ["rules read the clock as text", "packages/rules/src/planted.ts", "export const a = Date();\n", /as an argument/],
  ["rules read the clock in milliseconds", "packages/rules/src/planted.ts", "export const a = Date.now();\n", /as an argument/],
  ["rules throw dice", "packages/rules/src/planted.ts", "export const a = Math.random();\n", /seeded source/],
  ["rules read the environment", "packages/rules/src/planted.ts", "export const a = process.env;\n", /as an argument/],
  ["rules ask the network", "packages/rules/src/planted.ts", 'export const a = fetch("/");\n', /as an argument/],
  ["rules print", "packages/rules/src/planted.ts", 'console.log("a");\n', /as an argument/],
  ["api uses Prisma", "packages/api/src/planted.ts", 'import { PrismaClient } from "@prisma/client";\nexport const a = PrismaClient;\n', /Only packages\/db knows Prisma/],
  ["api uses the generated client", "packages/api/src/planted.ts", 'import { a } from "../../db/src/generated/client.ts";\nexport const b = a;\n', /Only packages\/db knows Prisma/],
  ["api imports a screen", "packages/api/src/planted.ts", 'import { a } from "@hangrail/web/words";\nexport const b = a;\n', /belongs in apps\/web/],
  ["db imports the api", "packages/db/src/planted.ts", 'import { a } from "@hangrail/api/router";\nexport const b = a;\n', /belongs in packages\/api/],
  ["the operator's commands use Prisma", "apps/cli/src/planted.ts", 'import { a } from "@prisma/adapter-pg";\nexport const b = a;\n', /Only packages\/db knows Prisma/],
  ["a screen reads the database", "apps/web/src/app/planted.tsx", 'import { a } from "@hangrail/db/sets";\nexport const b = a;\n', /A screen asks a procedure/],
  ["a screen takes a type of the database", "apps/web/src/app/planted.tsx", 'import type { A } from "@hangrail/db/sets";\nexport type B = A;\n', /A screen asks a procedure/],
  ["a screen opens a connection", "apps/web/src/app/planted.tsx", 'import pg from "pg";\nexport const b = pg;\n', /A screen asks a procedure/],
  ["a client file runs the api", "apps/web/src/app/planted.tsx", '"use client";\nimport { appRouter } from "@hangrail/api/router";\nexport const a = appRouter;\n', /import type/],
  ["a client file runs the api beside a type", "apps/web/src/app/planted.tsx", '"use client";\nimport { appRouter, type AppRouter } from "@hangrail/api/router";\nexport const a: AppRouter = appRouter;\n', /import type/],
  ["a client file runs the api for its effects", "apps/web/src/app/planted.tsx", '"use client";\nimport "@hangrail/api/router";\n', /import type/],
  ["a client file runs the api later", "apps/web/src/app/planted.tsx", '"use client";\nexport const a = () => import("@hangrail/api/router");\n', /import type/],
  ["a client file hands the api on", "apps/web/src/app/planted.tsx", '"use client";\nexport { appRouter } from "@hangrail/api/router";\n', /import type/],
  ["a check is switched off in a comment", "packages/rules/src/planted.ts", "/* eslint-disable */\nexport const a = Date.now();\n", /as an argument/],
];

describe("what is planted is caught", () => {
  test.each(planted)("%s", async (_name, file, code, pointsTo) => {
    expect(await messages(file, code)).toContainEqual(expect.stringMatching(pointsTo));
  });
});

const allowed: [name: string, file: string, code: string][] = [
  ["rules import a file beside them", "packages/rules/src/planted.ts", 'export { addMonths } from "./calendar.ts";\n'],
  ["rules build a date from what they are given", "packages/rules/src/planted.ts", "export const a = (at: number) => new Date(at);\n"],
  ["db uses Prisma", "packages/db/src/planted.ts", 'import { PrismaPg } from "@prisma/adapter-pg";\nexport const a = PrismaPg;\n'],
  ["api uses db and rules", "packages/api/src/planted.ts", 'import { a } from "@hangrail/db/sets";\nimport { b } from "@hangrail/rules/hand-out";\nexport const c = [a, b];\n'],
  ["a client file takes the router's type", "apps/web/src/app/planted.tsx", '"use client";\nimport type { AppRouter } from "@hangrail/api/router";\nexport type A = AppRouter;\n'],
  ["the server's door runs the router", "apps/web/src/app/planted.ts", 'import { appRouter } from "@hangrail/api/router";\nexport const a = appRouter;\n'],
];

describe("what is right passes", () => {
  test.each(allowed)("%s", async (_name, file, code) => {
    expect(await messages(file, code)).toEqual([]);
  });
});
