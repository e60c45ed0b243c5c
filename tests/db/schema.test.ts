import { readdirSync, readFileSync } from "node:fs";
import { ACTS } from "@hangrail/rules/acts";
import { REFUSAL_CODES } from "@hangrail/db/acts";
import { beforeAll, expect, test } from "vitest";
import { freshDatabase, type TestDatabase } from "../support/database.ts";

const prismaFolder = new URL("../../prisma/", import.meta.url);
let database: TestDatabase;
beforeAll(async () => {
  database = await freshDatabase();
});

/** A column as both sides can say it: type, whether it may be empty, what fills it by itself. */
interface Column {
  readonly type: string;
  readonly nullable: boolean;
  readonly filledBy: string | null;
}
interface Table {
  readonly columns: Readonly<Record<string, Column>>;
  readonly keys: readonly string[];
  readonly refers: readonly string[];
}

const PRISMA_TYPES: Readonly<Record<string, string>> = {
  "String @db.Uuid": "uuid",
  String: "text",
  Int: "integer",
  BigInt: "bigint",
  Boolean: "boolean",
  Json: "jsonb",
  Bytes: "bytea",
  "DateTime @db.Date": "date",
  "DateTime @db.Timestamptz(6)": "timestamp with time zone",
};

/** What schema.prisma says, table by table. */
function declared(): Record<string, Table> {
  const text = readFileSync(new URL("schema.prisma", prismaFolder), "utf8");
  const models = [...text.matchAll(/^model (\w+) \{\n([\s\S]*?)^\}/gm)].map(([, name, body]) => ({ name: name!, lines: body!.split("\n").map((line) => line.trim()) }));
  const tableOf = new Map(models.map(({ name, lines }) => [name, /@@map\("(\w+)"\)/.exec(lines.join("\n"))![1]!]));
  return Object.fromEntries(
    models.map(({ name, lines }) => {
      const column = new Map<string, string>();
      const columns: Record<string, Column> = {};
      const keys: string[] = [];
      const refers: string[] = [];
      for (const line of lines) {
        const field = /^(\w+)\s+(\w+)(\[\]|\?)?\s*(.*)$/.exec(line);
        if (!field || line.startsWith("//")) continue;
        const [, fieldName, type, mark, rest] = field as unknown as [string, string, string, string | undefined, string];
        if (tableOf.has(type)) {
          const relation = /fields: \[(.*?)\], references: \[(.*?)\]/.exec(rest);
          if (relation) refers.push(`${relation[1]!.split(", ").map((one) => column.get(one)).join()} -> ${tableOf.get(type)}`);
          continue;
        }
        const mapped = /@map\("(\w+)"\)/.exec(rest)?.[1] ?? fieldName;
        column.set(fieldName, mapped);
        const native = /@db\.\w+(\(\d+\))?/.exec(rest)?.[0];
        columns[mapped] = {
          type: PRISMA_TYPES[native ? `${type} ${native}` : type] ?? `unknown: ${type} ${native}`,
          nullable: mark === "?",
          filledBy: /@default\((\w+\((?:"[^"]*")?\)|"[^"]*"|\w+)\)/.exec(rest)?.[1] ?? null,
        };
        if (rest.includes("@id")) keys.push(`primary ${mapped}`);
        if (rest.includes("@unique")) keys.push(`unique ${mapped}`);
      }
      for (const [, kind, fields] of lines.join("\n").matchAll(/@@(id|unique|index)\(\[(.*?)\]/g)) {
        const named = fields!.split(", ").map((one) => column.get(one)).join();
        keys.push(`${kind === "id" ? "primary" : kind} ${named}`);
      }
      return [tableOf.get(name)!, { columns, keys: keys.sort(), refers: refers.sort() }];
    }),
  );
}

/** What the migrations made. Partial and exclusion indexes are beyond what schema.prisma can say; other tests try those. */
async function made(): Promise<Record<string, Table>> {
  const { rows: columns } = await database.ownerPool.query<{ table: string; column: string; type: string; nullable: boolean; filler: string | null; identity: boolean }>(`
    SELECT table_name AS table, column_name AS column, data_type AS type, is_nullable = 'YES' AS nullable, column_default AS filler, is_identity = 'YES' AS identity
    FROM information_schema.columns JOIN information_schema.tables USING (table_schema, table_name)
    WHERE table_schema = 'public' AND table_type = 'BASE TABLE' AND table_name <> '_prisma_migrations' ORDER BY table_name, ordinal_position`);
  const { rows: keys } = await database.ownerPool.query<{ table: string; key: string }>(`
    SELECT x.indrelid::regclass::text AS table, CASE WHEN x.indisprimary THEN 'primary ' WHEN x.indisunique THEN 'unique ' ELSE 'index ' END ||
      (SELECT string_agg(a.attname, ',' ORDER BY k.at) FROM unnest(x.indkey) WITH ORDINALITY k(num, at) JOIN pg_attribute a ON a.attrelid = x.indrelid AND a.attnum = k.num) AS key
    FROM pg_index x JOIN pg_class c ON c.oid = x.indexrelid JOIN pg_am m ON m.oid = c.relam
    WHERE c.relnamespace = 'public'::regnamespace AND x.indpred IS NULL AND m.amname = 'btree' AND x.indrelid::regclass::text <> '_prisma_migrations'`);
  const { rows: refers } = await database.ownerPool.query<{ table: string; refers: string }>(`
    SELECT conrelid::regclass::text AS table, (SELECT string_agg(a.attname, ',' ORDER BY k.at) FROM unnest(conkey) WITH ORDINALITY k(num, at)
      JOIN pg_attribute a ON a.attrelid = conrelid AND a.attnum = k.num) || ' -> ' || confrelid::regclass::text AS refers FROM pg_constraint WHERE contype = 'f'`);
  const tables: Record<string, { columns: Record<string, Column>; keys: string[]; refers: string[] }> = {};
  for (const { table, column, type, nullable, filler, identity } of columns) {
    tables[table] ??= { columns: {}, keys: [], refers: [] };
    tables[table].columns[column] = { type, nullable, filledBy: identity ? "autoincrement()" : asPrismaDefault(filler) };
  }
  for (const { table, key } of keys) tables[table]!.keys.push(key);
  for (const { table, refers: to } of refers) tables[table]!.refers.push(to);
  for (const table of Object.values(tables)) for (const list of [table.keys, table.refers]) list.sort();
  return tables;
}

function asPrismaDefault(filler: string | null): string | null {
  if (filler === null) return null;
  if (filler.endsWith("()")) return `dbgenerated("${filler}")`;
  const quoted = /^'(.*)'::(?:jsonb|text)$/.exec(filler);
  return quoted ? `"${quoted[1]}"` : filler;
}

test("the migrations make exactly the tables, columns, keys and references of schema.prisma", async () => {
  const [schema, tables] = [declared(), await made()];
  expect(Object.keys(schema).length).toBeGreaterThan(25);
  expect(tables).toEqual(schema);
});

test("days are stored as days and instants as instants, never one as the other", async () => {
  const { rows } = await database.ownerPool.query<{ name: string; type: string }>(`
    SELECT table_name || '.' || column_name AS name, data_type AS type FROM information_schema.columns
    WHERE table_schema = 'public' AND (column_name ~ '_(on|at|until|from)$' OR data_type ~ 'date|time') AND table_name <> '_prisma_migrations'
      AND table_name IN (SELECT table_name FROM information_schema.tables WHERE table_schema = 'public' AND table_type = 'BASE TABLE')`);
  expect(rows.length).toBeGreaterThan(40);
  // A component's reading "at" a piece of work is a count; what an index of dives is called is no day.
  const counts = new Set(["component_work.dives_at", "component_work.minutes_at", "component_work.taught_at"]);
  for (const { name, type } of rows) {
    if (counts.has(name)) continue;
    expect(`${name} ${type}`).toBe(`${name} ${name.endsWith("_on") ? "date" : "timestamp with time zone"}`);
  }
});

test("what each act does to a set is the same in the database as in the rules", async () => {
  const { rows } = await database.ownerPool.query<{ act: string; soils: boolean; endsRelease: boolean; asksTest: boolean }>(
    'SELECT act, soils, ends_release AS "endsRelease", asks_test AS "asksTest" FROM act_kind');
  const recorded = Object.fromEntries(rows.map(({ act, ...effect }) => [act, effect]));
  for (const [act, effect] of Object.entries(ACTS)) expect({ [act]: recorded[act] }).toEqual({ [act]: effect });
  // Acts only the database knows concern a site, a person or a model, and leave every set as it was.
  for (const { act, ...effect } of rows) if (!(act in ACTS)) expect({ act, ...effect }).toEqual({ act, soils: false, endsRelease: false, asksTest: false });
});

test("every refusal the acts can give has a code the screens know", () => {
  const folder = new URL("migrations/", prismaFolder);
  const sql = readdirSync(folder)
    .filter((name) => !name.endsWith(".toml"))
    .map((name) => readFileSync(new URL(`${name}/migration.sql`, folder), "utf8"))
    .join("\n");
  const given = new Set([...sql.matchAll(/refused\('([a-z0-9-]+)'/g)].map(([, code]) => code!));
  for (const code of sql.matchAll(/'code', '(clock-[a-z]+)'/g)) given.add(code[1]!);
  expect([...given].sort()).toEqual([...REFUSAL_CODES].sort());
});
