import jsQR from "jsqr";
import { describe, expect, test } from "vitest";
import { chosenTags } from "./chosen-tags.ts";
import { LABEL_SHEETS, layOut, placeLabels } from "./label-sheets.ts";
import { codePath, QUIET, tagCode } from "./tag-code.ts";

const LONGEST = "ABCDEFGHIJ-123456789";

describe.each(LABEL_SHEETS)("$name", (sheet) => {
  const full = Array.from({ length: sheet.columns * sheet.rows + 1 }, (_, at) => `T-${at + 1}`);

  test("a full sheet lies within its paper, no label on another, and what is left goes on the next", () => {
    const [first, second] = placeLabels(sheet, full);
    expect([first!.length, second!.length]).toEqual([sheet.columns * sheet.rows, 1]);
    for (const { x, y } of first!) {
      expect(x).toBeGreaterThanOrEqual(0);
      expect(y).toBeGreaterThanOrEqual(0);
      expect(x + sheet.label.width).toBeLessThanOrEqual(sheet.width + 1e-6);
      expect(y + sheet.label.height).toBeLessThanOrEqual(sheet.height + 1e-6);
    }
    for (const one of first!) {
      const over = first!.filter((other) => Math.abs(other.x - one.x) < sheet.label.width - 1e-6 && Math.abs(other.y - one.y) < sheet.label.height - 1e-6);
      expect(over).toEqual([one]);
    }
  });

  test("the grid is centred on its paper", () => {
    const across = sheet.columns * sheet.label.width + (sheet.columns - 1) * sheet.gapX;
    const down = sheet.rows * sheet.label.height + (sheet.rows - 1) * sheet.gapY;
    expect(Math.abs(sheet.left - (sheet.width - across) / 2)).toBeLessThan(0.05);
    expect(Math.abs(sheet.top - (sheet.height - down) / 2)).toBeLessThan(0.05);
  });

  test.each(["A-1", "L-014", LONGEST])("the code and the tag %s keep to the label and apart", (tag) => {
    const { code, text } = layOut(sheet, tag);
    expect(code.x + code.side).toBeLessThan(text.x);
    expect(text.x + tag.length * 0.62 * text.size).toBeLessThanOrEqual(sheet.label.width - 2.5 + 1e-6);
    expect(code.y + code.side).toBeLessThanOrEqual(sheet.label.height);
    expect(text.y).toBeLessThanOrEqual(sheet.label.height - 2.5);
  });

  // Handheld readers want modules of a third of a millimetre and more (common practice).
  test.each(["L-014", LONGEST])("the code of %s is coarse enough to read at arm's length", (tag) => {
    expect(layOut(sheet, tag).code.side / (tagCode(tag).length + 2 * QUIET)).toBeGreaterThan(0.5);
  });
});

test("a sheet begun before is used from its first free label", () => {
  const [first, second] = placeLabels(LABEL_SHEETS[0]!, ["A", "B", "C"], 23);
  expect([first!.map(({ tag }) => tag), second!.map(({ tag }) => tag)]).toEqual([["A", "B"], ["C"]]);
  expect(first![0]).toEqual({ tag: "A", x: 70, y: 0.5 + 7 * 37 });
  expect(() => placeLabels(LABEL_SHEETS[0]!, ["A"], 25)).toThrow("from 1 to 24");
});

/** Drawn as black and white dots, `dots` to a module, as a camera would see it; `spoil` turns a module. */
function seen(tag: string, spoil: (x: number, y: number) => boolean = () => false, dots = 4): { data: Uint8ClampedArray; side: number } {
  const modules = tagCode(tag);
  const side = (modules.length + 2 * QUIET) * dots;
  const data = new Uint8ClampedArray(side * side * 4).fill(255);
  for (let y = 0; y < side; y += 1) {
    for (let x = 0; x < side; x += 1) {
      const [column, row] = [Math.floor(x / dots) - QUIET, Math.floor(y / dots) - QUIET];
      const dark = (modules[row]?.[column] ?? false) !== spoil(column, row);
      if (dark) data.fill(0, (y * side + x) * 4, (y * side + x) * 4 + 3);
    }
  }
  return { data, side };
}

// Read back by another program than the one that drew it.
describe("the code", () => {
  test.each(["A-1", "L-014", "0123456789", LONGEST])("says %s and nothing else", (tag) => {
    const { data, side } = seen(tag);
    expect(jsQR(data, side, side)?.data).toBe(tag);
  });

  test("is read with a scratch across it, and not with a third of it gone", () => {
    const middle = Math.floor(tagCode("L-014").length / 2);
    const scratched = seen("L-014", (x, y) => y === middle + 2 && x > 8 && x < 20);
    expect(jsQR(scratched.data, scratched.side, scratched.side)?.data).toBe("L-014");
    const gone = seen("L-014", (_, y) => y > 8 && y < 16);
    expect(jsQR(gone.data, gone.side, gone.side)?.data).not.toBe("L-014");
  });

  test("is drawn as many squares as it has dark modules", () => {
    const modules = tagCode("L-014");
    expect(codePath(modules).split("M").length - 1).toBe(modules.flat().filter((dark) => dark).length);
  });
});

describe("which sets", () => {
  const tags = ["A-01", "A-02", "A-03", "A-04", "B-01"];
  test.each([
    ["", tags, []],
    ["a-02", ["A-02"], []],
    ["A-04, A-01", ["A-01", "A-04"], []],
    ["a-02 to A-04 b-01", ["A-02", "A-03", "A-04", "B-01"], []],
    ["A-04 to A-02", ["A-02", "A-03", "A-04"], []],
    ["A-02 to Z-9", [], ["Z-9"]],
    ["Z-9 A-01 to", ["A-01"], ["Z-9", "TO"]],
  ])("%j", (asked, chosen, unknown) => {
    expect(chosenTags(asked, tags)).toEqual({ chosen, unknown });
  });
});
