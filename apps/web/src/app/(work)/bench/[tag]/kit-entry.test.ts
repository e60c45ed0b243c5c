import { expect, test } from "vitest";
import { askedKits, lotsOf, readKits, shortKits, withoutList, type ForService } from "./kit-entry.ts";

const component = (id: string, lines: ForService["components"][number]["lines"]) => ({ component: id, modelId: "m", lines, losesOxygen: false, gainsOxygen: false });
const answer: ForService = {
  components: [component("first", [{ kit: "k1", quantity: 1 }, { kit: "k2", quantity: 2 }]), component("second", [{ kit: "k1", quantity: 1 }]), component("bare", null), component("free", []), component("gauge", null)],
  shelf: [
    { id: "k1", name: "Seal kit", stock: 4, lots: [{ lot: "A", quantity: 1 }, { lot: "B", quantity: 3 }] },
    { id: "k2", name: "Seat kit", stock: 1, lots: [{ lot: "C", quantity: 1 }] },
  ],
  orders: [],
};
const nothing = new Map<string, string>();

test("a service asks for the kits of the components ticked, and of no other", () => {
  expect(askedKits(answer, ["second"]).map(({ kit, quantity }) => [kit, quantity])).toEqual([["k1", 1]]);
  expect(askedKits(answer, ["first", "free", "gauge"])).toHaveLength(2);
  expect(askedKits(answer, [])).toEqual([]);
});

test("a stage without a list is named; a gauge needs none", () => {
  const parts = [{ id: "bare", role: "primary" }, { id: "free", role: "alternate" }, { id: "gauge", role: "gauge" }] as const;
  expect(withoutList(answer, parts, ["bare", "free", "gauge"])).toEqual(["bare"]);
  expect(withoutList(answer, parts, ["free", "gauge"])).toEqual([]);
});

test("the lot is the oldest that is enough for the lines before it too, then whatever was typed for the kit", () => {
  const asked = askedKits(answer, ["first", "second"]);
  // Of lot A one lies there. One of two seats lies there: no lot is enough, so none is guessed.
  expect([...lotsOf(asked, nothing, answer.shelf).values()]).toEqual(["A", "", "B"]);
  const typed = new Map([[asked[0]!.key, "Z"]]);
  expect([...lotsOf(asked, typed, answer.shelf).values()]).toEqual(["Z", "", "Z"]);
  expect([...lotsOf(asked, new Map([...typed, [asked[2]!.key, ""]]), answer.shelf).values()]).toEqual(["Z", "", ""]);
});

test("nothing goes to the record without a lot, and every line by itself", () => {
  const asked = askedKits(answer, ["first"]);
  expect(readKits(asked, nothing, [], answer.shelf)).toEqual({ problem: "Enter the lot of Seat kit: it stands on the kit's bag." });
  const typed = new Map([[asked[1]!.key, " C9 "]]);
  const further = { key: "x", component: "gauge", kit: "k1", quantity: "2", lot: "B" };
  expect(readKits(asked, typed, [further], answer.shelf)).toEqual({
    kits: [
      { component: "first", kit: "k1", lot: "A", quantity: 1 },
      { component: "first", kit: "k2", lot: "C9", quantity: 2 },
      { component: "gauge", kit: "k1", lot: "B", quantity: 2 },
    ],
  });
  for (const wrong of [{ quantity: "0" }, { quantity: "1.5" }, { lot: " " }, { kit: "" }, { component: "" }]) {
    expect(readKits([], nothing, [{ ...further, ...wrong }], answer.shelf)).toHaveProperty("problem");
  }
});

test("what is short is told from the sum of all lines", () => {
  expect(shortKits(askedKits(answer, ["first", "second"]), answer.shelf)).toEqual([{ name: "Seat kit", wanted: 2, stock: 1 }]);
  expect(shortKits([{ kit: "k1", quantity: 5 }, { kit: "k2", quantity: 1 }], answer.shelf)).toEqual([{ name: "Seal kit", wanted: 5, stock: 4 }]);
});
