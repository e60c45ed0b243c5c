import { describe, expect, test } from "vitest";
import { FLEET_COLUMNS, HISTORY_COLUMNS } from "./sheet-columns.ts";
import type { ColumnSpec, FleetColumn } from "./sheet-columns.ts";
import { columnNamed, headerKey, mapHeader } from "./sheet-headers.ts";
import type { HeaderAnswers } from "./sheet-headers.ts";
import { columnLetter } from "./sheet-report.ts";

const NEEDED = ["Set tag", "Position", "Maker", "Model", "Serial"];
const map = (header: readonly string[], answers: HeaderAnswers<FleetColumn> = {}, rows: readonly (readonly string[])[] = []) =>
  mapHeader({ header, rows }, FLEET_COLUMNS, answers);

describe("a header", () => {
  test.each<[string, FleetColumn]>([
    ["SET TAG", "tag"],
    ["set_tag", "tag"],
    ["S/N", "serial"],
    ["Serial No.", "serial"],
    ["N° de série", "serial"],
    ["Número de serie", "serial"],
    ["Matricola", "serial"],
    ["Letzte Prüfung", "inspectedOn"],
    ["Letzte Pru\u0308fung", "inspectedOn"],
    ["Dernière révision", "servicedOn"],
    ["Última revisión", "servicedOn"],
    ["Ultima revisione", "servicedOn"],
    ["Hours since service (h)", "hoursSinceService"],
    ["Stunden seit Revision [h]", "hoursSinceService"],
    ["Total (dives)", "totalDives"],
    ["  Dives   since\nservice ", "divesSinceService"],
    ["Plongées depuis l’inspection", "divesSinceInspection"],
  ])("“%s” is %s", (header, name) => expect(columnNamed(header, FLEET_COLUMNS)).toBe(name));

  test.each(["dives", "hours", "service", "", "   ", "()", "constructor", "__proto__", "toString"])("“%s” alone means no column", (header) =>
    expect(columnNamed(header, FLEET_COLUMNS)).toBeNull());

  test.each<[string, readonly ColumnSpec<string>[]]>([["parts", FLEET_COLUMNS], ["past work", HISTORY_COLUMNS]])("no name of the sheet of %s means two columns", (_, specs) => {
    const meanings = new Map<string, string>();
    for (const spec of specs) {
      for (const text of [spec.title, spec.name, ...spec.alsoCalled]) {
        expect([text, meanings.get(headerKey(text)) ?? spec.name]).toEqual([text, spec.name]);
        meanings.set(headerKey(text), spec.name);
      }
    }
    expect(meanings.size).toBeGreaterThan(60);
  });
});

describe("the columns of a sheet", () => {
  test("are found where they stand", () => {
    const { columns, problems, questions } = map([...NEEDED, "Note"]);
    expect([...columns].map(([name, column]) => `${column.letter} ${name}`)).toEqual(["A tag", "B position", "C maker", "D model", "E serial", "F note"]);
    expect([problems, questions]).toEqual([[], []]);
  });

  test("a missing one that is needed is a problem for each", () => {
    const { problems } = map(["Set tag", "Maker", "Note"]);
    expect(problems.map((problem) => problem.code)).toEqual(["column-missing", "column-missing", "column-missing"]);
    expect(problems[0]?.sentence).toContain("no column is called “Position”");
  });

  test("two that mean the same are a problem naming both", () => {
    const { problems } = map([...NEEDED, "S/N"]);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ code: "column-twice", column: "F", row: 1 });
    expect(problems[0]?.sentence).toBe("Row 1: column E, “Serial” and column F, “S/N” both mean “Serial”. Keep one, or say that one is to be left out.");
  });

  test("an unknown one is asked about, and left out only on the caller's word", () => {
    const header = [...NEEDED, "Servised on"];
    const asked = map(header, {}, [["", "", "", "", "", "3.4.2026"]]);
    expect(asked.unknownHeaders).toEqual(["Servised on"]);
    expect(asked.questions[0]).toMatchObject({ code: "unknown-column", column: "F", about: "Servised on", examples: [{ row: 2, value: "3.4.2026" }] });
    expect(asked.questions[0]?.choices).toContain("servicedOn");
    expect(map(header, { ignoreUnknown: true })).toMatchObject({ questions: [], unknownHeaders: ["Servised on"] });
  });

  test("the caller's mapping comes first, by header or by letter", () => {
    const header = [...NEEDED, "Servised on", "Serial"];
    const { columns, problems, questions } = map(header, { columns: { "servised ON": "servicedOn", "column E": "ignore" } });
    expect([problems, questions]).toEqual([[], []]);
    expect(columns.get("servicedOn")?.letter).toBe("F");
    expect(columns.get("serial")?.letter).toBe("G");
  });

  test("a column without a name is fine while it is empty", () => {
    expect(map([...NEEDED, ""], {}, [["R-1"]]).problems).toEqual([]);
    const { problems } = map([...NEEDED, ""], {}, [["R-1"], ["R-1", "", "", "", "", "stray"]]);
    expect(problems[0]).toMatchObject({ code: "column-unnamed", column: "F" });
    expect(problems[0]?.sentence).toContain("row 3 holds “stray”");
  });

  test("are lettered as spreadsheets letter them", () => {
    expect([0, 25, 26, 51, 52, 701, 702].map(columnLetter)).toEqual(["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
  });
});
