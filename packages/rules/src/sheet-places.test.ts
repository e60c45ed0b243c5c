import { describe, expect, test } from "vitest";
import { WORD_TABLES, positionOf, wordKey, workOf } from "./sheet-positions.ts";
import type { PositionWord } from "./sheet-positions.ts";
import { judgePositionColumn, judgeTagColumn } from "./sheet-places.ts";
import { normalTag, tagLikeness, tagsThatLookAlike } from "./sheet-tags.ts";

const column = { index: 0, letter: "A", header: "Set" };
const cells = (values: readonly string[]) => values.map((value, at) => ({ row: at + 2, value }));

describe("positions", () => {
  test.each<[string, PositionWord]>([
    ["1st stage", "first-stage"], ["FIRST-STAGE", "first-stage"], ["1. Stufe", "first-stage"], ["1er étage", "first-stage"], ["1ª etapa", "first-stage"], ["Primo stadio", "first-stage"],
    ["2nd Stage", "second-stage"], ["DV", "second-stage"], ["Deuxième étage", "second-stage"], ["Octo", "alternate"], ["octopus", "alternate"], ["safe second", "alternate"],
    ["SPG", "gauge"], ["Contents gauge", "gauge"], ["Finimeter", "gauge"], ["Manomètre", "gauge"], ["LPI", "inflator-hose"], ["direct feed hose", "inflator-hose"],
    ["Hose (yellow, 100 cm)", "hose"], ["HP hose", "hose"], ["Sender", "transmitter"], ["Hauptautomat", "primary"], ["Détendeur principal", "primary"],
  ])("“%s” is %s", (word, position) => expect(positionOf(word)).toBe(position));

  test("no word means two positions or two kinds of work", () => {
    for (const table of [WORD_TABLES.positions, WORD_TABLES.work]) {
      const meanings = new Map<string, string>();
      for (const [name, words] of Object.entries(table)) {
        for (const word of [name, ...words]) {
          expect([word, meanings.get(wordKey(word)) ?? name]).toEqual([word, name]);
          meanings.set(wordKey(word), name);
        }
      }
      expect(meanings.size).toBeGreaterThan(20);
    }
  });

  test("an unknown word is asked about once, and read as answered", () => {
    const asked = judgePositionColumn(column, cells(["console", "octo", "Console ", ""]), {});
    expect(asked.questions).toHaveLength(1);
    expect(asked.questions[0]).toMatchObject({ code: "position-word", about: "console", examples: [{ row: 2 }, { row: 4 }] });
    expect(asked.problems.map((problem) => problem.code)).toEqual(["empty"]);
    expect([...judgePositionColumn(column, cells(["console", "CONSOLE"]), { Console: "gauge" }).values.values()]).toEqual(["gauge", "gauge"]);
  });

  test("very many unknown words are problems, not a thousand questions", () => {
    const judged = judgePositionColumn(column, cells(Array.from({ length: 60 }, (_, n) => `thing ${n}`)), {});
    expect([judged.questions.length, judged.problems.length]).toEqual([40, 20]);
  });

  test.each([["Service", "service"], ["Révision", "service"], ["Prüfung", "inspection"], ["inspected", "inspection"], ["repair", null]])("work “%s” is %s", (word, work) => expect(workOf(word)).toBe(work));
});

describe("tags", () => {
  test.each([["r 14", "R-14"], ["R-14", "R-14"], ["R – 14", "R-14"], ["r_14", "R-14"], [" R-014 ", "R-014"], ["R14", "R14"], ["bay 3 left", "BAY-3-LEFT"]])("“%s” is %s", (written, tag) => expect(normalTag(written)).toBe(tag));
  test.each(["R/14", "R.14", "", "-", "É-1", "Я-1", "A2345678901234567890X", "R#1"])("“%s” is no tag", (written) => expect(normalTag(written)).toBeNull());

  test("hyphens and leading noughts are what look alike", () => {
    expect(["R-14", "R14", "R-014", "R-0014"].map(tagLikeness)).toEqual(["R14", "R14", "R14", "R14"]);
    expect(tagLikeness("A-1-14")).not.toBe(tagLikeness("A-11-4"));
    expect(["R-104", "R-140", "R-0", "R-00", "A1-B02"].map(tagLikeness)).toEqual(["R104", "R140", "R0", "R0", "A1B2"]);
  });

  const found = (tags: readonly string[]) => new Map(tags.map((tag, at) => [tag, { row: at + 2, value: tag }]));
  test("alike tags are asked about, naming where each stands", () => {
    const { questions } = tagsThatLookAlike(column, found(["R-14", "R-15", "R14"]), new Set(), undefined);
    expect(questions.map((question) => question.sentence)).toEqual(["Column A: R-14 (row 2) and R14 (row 4) look alike. Are they one set written differently, or different sets?"]);
    expect(tagsThatLookAlike(column, found(["R-14"]), new Set(["R-014"]), undefined).questions[0]?.sentence).toContain("R-014 (already recorded) and R-14 (row 2)");
  });
  test("one set takes the recorded spelling, else the first", () => {
    expect(tagsThatLookAlike(column, found(["R-14", "R14"]), new Set(), "same-set").spelling("R14")).toBe("R-14");
    expect(tagsThatLookAlike(column, found(["R-14"]), new Set(["R-014"]), "same-set").spelling("R-14")).toBe("R-014");
  });
  test("different sets stay as they are", () => {
    const alike = tagsThatLookAlike(column, found(["R-14", "R14"]), new Set(), "different-sets");
    expect([alike.questions, alike.spelling("R14")]).toEqual([[], "R14"]);
  });

  test("an empty tag is asked about: a spare, or the set above as in merged cells", () => {
    const values = cells(["R-1", "", "-", "spare", ""]);
    const asked = judgeTagColumn(column, values, undefined);
    expect(asked.questions[0]).toMatchObject({ code: "blank-tags", examples: [{ row: 3 }, { row: 4 }, { row: 6 }] });
    expect([...judgeTagColumn(column, values, "spare").values.values()]).toEqual(["R-1", null, null, null, null]);
    const above = judgeTagColumn(column, values, "same-as-above");
    expect([...above.values.values()]).toEqual(["R-1", "R-1", "R-1", null]);
    expect(above.problems.map((problem) => problem.row)).toEqual([6]);
  });

  test("below a tag that cannot be read, an empty one takes no older tag", () => {
    const judged = judgeTagColumn(column, cells(["R-1", "R/2", ""]), "same-as-above");
    expect([...judged.values]).toEqual([[2, "R-1"]]);
    expect(judged.problems.map((problem) => problem.code)).toEqual(["tag-form"]);
  });
});
